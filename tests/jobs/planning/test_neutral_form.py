"""Odd problems of the neutral form: read, planned and checked twice, by our checker and by a second one."""

import json
from random import Random
from typing import Any

import pytest

from jobs.planning.budget import Limits
from jobs.planning.checker import breaches
from jobs.planning.plan_files import read_plan, write_plan
from jobs.planning.problem_files import read_problem, write_problem
from jobs.planning.search import search
from tests.jobs.planning.hostile_shops import hostile_problem
from tests.jobs.planning.neutral_checker import moment, objective, wrong
from tests.jobs.planning.neutral_shops import odd_problem

LIMITS = Limits(seconds=None, work=0.05, workers=1, seed=1)


def hostile_ones(sound: bool, wanted: int) -> list[dict[str, Any]]:
    """The first of them that are small."""
    drawn = (hostile_problem(number, sound) for number in range(100))
    return [one for one in drawn if len(one["jobs"]) <= 6][:wanted]


SOUND = hostile_ones(sound=True, wanted=12)
DOCUMENTS = [*map(odd_problem, range(16)), *SOUND, *hostile_ones(sound=False, wanted=12)]


@pytest.mark.parametrize("number", range(len(DOCUMENTS)))
def test_two_checkers_agree_on_plans_and_on_what_they_come_to(number: int) -> None:
    document = DOCUMENTS[number]
    problem = read_problem(json.loads(json.dumps(document)))
    found = search(problem, LIMITS)
    planned = found.planned or problem
    what, plan = write_problem(planned), json.loads(json.dumps(write_plan(found.plan)))
    told = {one["op"] for one in plan["assignments"]}
    open_ones = {o["id"] for j in document["jobs"] for o in j["operations"] if o["status"] != "done"}
    assert told == open_ones or (found.faults and document not in SOUND), "what is left out is told"
    assert wrong(what, plan) == []
    if plan["jobs"]:
        assert objective(what, plan) == found.objective
    for kind in BROKEN:
        broken = json.loads(json.dumps(plan))
        if BROKEN[kind](broken, Random(number)):
            ours, second = breaches(planned, read_plan(broken)), wrong(what, broken)
            assert bool(ours) == bool(second), (kind, list(map(str, ours)), second)


def _some(plan: dict[str, Any], random: Random) -> dict[str, Any] | None:
    return random.choice(plan["assignments"]) if plan["assignments"] else None


def _later(hours: float) -> Any:
    def broken(plan: dict[str, Any], random: Random) -> bool:
        from datetime import timedelta

        one = _some(plan, random)
        if one is None:
            return False
        for key in ("start", "end"):
            one[key] = (moment(one[key]) + timedelta(hours=hours)).isoformat(timespec="minutes")
        return True

    return broken


def _other(key: str, names: tuple[str, ...]) -> Any:
    def broken(plan: dict[str, Any], random: Random) -> bool:
        one = _some(plan, random)
        if one is None or (key == "bay" and one["bay"] is None):
            return False
        known = {each[key] for each in plan["assignments"]} & set(names)
        one[key] = random.choice(sorted(known) or [one[key]])
        return True

    return broken


def _gone(plan: dict[str, Any], random: Random) -> bool:
    if not plan["assignments"]:
        return False
    plan["assignments"].remove(_some(plan, random))
    return True


def _finish(plan: dict[str, Any], random: Random) -> bool:
    if not plan["jobs"]:
        return False
    random.choice(plan["jobs"])["tardy_minutes"] += 15
    return True


BROKEN = {
    "an hour later": _later(1),
    "a day later": _later(24),
    "a day sooner": _later(-24),
    "another person": _other("person", ("P0", "P1", "P2", "P3")),
    "another bay": _other("bay", ("B0", "B1", "B2")),
    "left out": _gone,
    "not so late": _finish,
}
