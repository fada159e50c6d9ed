"""Every sentence that the checker has, each said about a plan that is broken in that one way."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from jobs.planning import bay_check, checker, pin_check
from jobs.planning.checker import breaches
from jobs.planning.plan import JobFinish, Plan
from jobs.planning.problem import Crew, Instrument, Pin, PinKind, Problem, Segment, Span, Status
from tests.jobs.planning.small_shop import (
    NOW,
    at,
    bay,
    changed,
    first_plan,
    job,
    moved,
    operation,
    person,
    shop,
)

BAYS = bay("B1", "fab"), bay("B2", "fab"), bay("B3", "fab", down=(Span(at(3), at(5)),)), bay("B4")
WATCH = operation("watch", 60, None, segment=None, at_once_after="weld", after=("weld",))
RUNS = operation(
    "runs", status=Status.RUNNING, person="cat", started=NOW.replace(hour=7), remaining_minutes=60
)
SHOP = shop(
    job(
        "J1", operation("a"), operation("b", after=("a",), parts_at=at(3, 8), bay_features=frozenset({"fab"}))
    ),
    job("J2", operation("weld", 180, "weld", unbroken=True, crew=(Crew("inspect"),)), WATCH),
    job("J3", RUNS, operation("gone", status=Status.DONE, person="bob"), bay="B2"),
    job("J4", operation("day", 120, same_day=True, segment=None, instruments=("gauge",))),
    job("J5", operation("no", not_same_person_as=("a", "gone"), segment=None), release=at(4, 8)),
    job("J6", operation("roll", segment="here"), segments=(Segment("here", frozenset()),)),
    bays=BAYS,
    people=(
        person("ann", "fab", "weld"),
        person("bob", "inspect", "fab"),
        person("cat", "fab"),
        person("ill", "fab", "weld", absences=(Span(at(1), at(1).replace(year=2050)),)),
    ),
    instruments=(Instrument("1", "gauge", (Span(at(9), at(11)),)),),
)
GOOD = first_plan(SHOP)


def also(plan: Plan, finish: JobFinish) -> Plan:
    return replace(plan, jobs=(*plan.jobs, finish))


def told(job: str, **fields: object) -> Plan:
    return replace(GOOD, jobs=tuple(replace(one, **fields) if one.job == job else one for one in GOOD.jobs))  # type: ignore[arg-type]


EXTRA = replace(GOOD.of["day"], op="unknown")
PINNED = replace(
    SHOP,
    pins=(
        Pin("p1", PinKind.PERSON, operation="a", person="ann"),
        Pin("p2", PinKind.BAY, job="J1", bay="B1"),
        Pin("p3", PinKind.NOT_BEFORE, operation="day", at=at(6, 8)),
        Pin("p4", PinKind.NEXT_UP, job="J6"),
        Pin("p5", PinKind.NEXT_UP, job="J9"),
    ),
)

BROKEN: list[tuple[str, Plan, Problem]] = [
    ("is a plan for another problem than", replace(GOOD, instance="other"), SHOP),
    ("has to stand there once", replace(GOOD, assignments=GOOD.assignments[1:]), SHOP),
    (
        "is done and has no place in the plan",
        replace(GOOD, assignments=(*GOOD.assignments, replace(EXTRA, op="gone"))),
        SHOP,
    ),
    ("is no operation of the problem", replace(GOOD, assignments=(*GOOD.assignments, EXTRA)), SHOP),
    ("there is nobody called eve", changed(GOOD, "weld", others=("eve",)), SHOP),
    ("there is no bay B9", changed(GOOD, "a", bay="B9"), SHOP),
    ("which is no working time", changed(GOOD, "day", start=at(2, 12, 30)), SHOP),
    ("has no 120 minutes after", changed(GOOD, "day", person="ill"), SHOP),
    ("has to end at", changed(GOOD, "day", end=at(2, 17)), SHOP),
    ("has to begin and end on one date", changed(GOOD, "day", start=at(2, 16), end=at(3, 9)), SHOP),
    ("must not be interrupted", changed(GOOD, "weld", start=at(6, 15), end=at(9, 9)), SHOP),
    ("somebody is there too many", changed(GOOD, "watch", person="cat"), SHOP),
    ("nobody does it", changed(GOOD, "a", person=None), SHOP),
    ("one of them stands there twice", changed(GOOD, "weld", others=("ann",)), SHOP),
    ("takes 1 further people, and has 0", changed(GOOD, "weld", others=()), SHOP),
    ("somebody has not the skill for it", changed(GOOD, "weld", person="cat"), SHOP),
    ("bob does gone and must not do this too", changed(GOOD, "no", person="bob"), SHOP),
    (
        "at the same time, 2026-03-02",
        changed(GOOD, "roll", person="cat", start=at(2, 8), end=at(2, 10)),
        SHOP,
    ),
    ("runs, and has to keep its people", changed(GOOD, "runs", person="ann"), SHOP),
    ("runs since", moved(GOOD, "runs", hours=1), SHOP),
    ("has no 60 minutes after", changed(GOOD, "runs", person="ill"), SHOP),
    ("has to end at 2026-03-02 09:00:00", changed(GOOD, "runs", end=at(2, 10)), SHOP),
    ("before its parts at", changed(GOOD, "b", start=at(2, 14), end=at(2, 16)), SHOP),
    ("before the release at", changed(GOOD, "no", start=at(3, 8), end=at(3, 10)), SHOP),
    ("before now at", moved(GOOD, "day", days=-3), SHOP),
    ("before the end of a at", changed(GOOD, "a", start=at(3, 14), end=at(3, 16)), SHOP),
    ("has to begin when weld ends", moved(GOOD, "watch", days=1), SHOP),
    ("takes a gauge, and all of them are out", changed(GOOD, "day", start=at(9, 8), end=at(9, 10)), SHOP),
    ("is bench work and takes no bay", changed(GOOD, "no", bay="B1"), SHOP),
    ("takes a bay and has none", changed(GOOD, "roll", bay=None), SHOP),
    ("changes its bay: B1, B3", changed(changed(GOOD, "a", bay="B1"), "b", bay="B3"), SHOP),
    ("J1, main: B4 has not what it takes: fab", changed(GOOD, "a", bay="B4"), SHOP),
    ("b: B4 has not what it takes: fab", changed(GOOD, "b", bay="B4"), SHOP),
    ("stands in B2 already and is planned in B1", changed(GOOD, "runs", bay="B1"), SHOP),
    ("and J6 at the same time", changed(GOOD, "roll", bay="B2", start=at(2, 8), end=at(2, 10)), SHOP),
    ("is down from", changed(changed(GOOD, "a", bay="B3"), "b", bay="B3"), SHOP),
    ("stands there twice", also(GOOD, GOOD.jobs[0]), SHOP),
    ("is no car of the problem", also(GOOD, JobFinish("J9", at(3, 9), 0)), SHOP),
    ("is finished at", told("J1", finish=at(2, 9)), SHOP),
    ("minutes late, and the plan says 5", told("J1", tardy_minutes=5), SHOP),
    ("a is done by cat, not by ann", changed(GOOD, "a", person="cat"), PINNED),
    ("not in B1", changed(changed(GOOD, "a", bay="B2"), "b", bay="B2"), PINNED),
    ("day begins at", GOOD, PINNED),
    ("goes into a bay at", changed(GOOD, "roll", start=at(6, 8), end=at(6, 10)), PINNED),
    ("there is no car J9", GOOD, PINNED),
]


@pytest.mark.parametrize(("words", "broken", "problem"), BROKEN, ids=[one[0] for one in BROKEN])
def test_a_plan_broken_in_one_way_is_told_so(words: str, broken: Plan, problem: Problem) -> None:
    assert breaches(SHOP, GOOD) == []
    found = [str(one) for one in breaches(problem, broken)]
    assert any(words in one for one in found), found


def test_no_sentence_of_the_checker_is_without_a_broken_plan() -> None:
    """Each place that tells a breach is one in the list above; a new one has to come with its plan."""
    files = [Path(module.__file__ or "") for module in (checker, bay_check, pin_check)]
    places = sum(len(re.findall(r"^ +yield (?!from)", file.read_text(), re.MULTILINE)) for file in files)
    several = {
        "has to stand there once": 2,  # one place with two sentences: so many fewer places than sentences
        "somebody is there too many": 2,
        "before its parts at": 4,
        "stands there twice": 2,
    }
    assert places == len(BROKEN) - sum(count - 1 for count in several.values())
