"""Problems and plans go out and come in unchanged; what is wrong with a file is told whole, with its path."""

import json
import re
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from jobs.planning.checker import breaches
from jobs.planning.plan_files import read_plan, write_plan
from jobs.planning.problem import Status
from jobs.planning.problem_files import read_problem, write_problem
from jobs.planning.reading import UnreadableError
from jobs.planning.search import search
from tests.jobs.planning.small_shop import LIMITS, at, first_plan, job, operation, shop

SMALL = shop(
    job("J1", operation("a", 240), operation("b", 60, after=("a",), parts_at=at(3, 9), same_day=True)),
    job(
        "J2",
        operation("c", status=Status.RUNNING, person="bob", started=at(1, 9), remaining_minutes=45),
        operation("d", segment=None, not_same_person_as=("c",), hold=True, stage="welding"),
        bay="B1",
    ),
)


def document() -> dict[str, Any]:
    return json.loads(json.dumps(write_problem(SMALL)))


def test_a_problem_comes_back_as_it_went_out() -> None:
    assert read_problem(document()) == SMALL


def test_a_plan_comes_back_as_it_went_out() -> None:
    plan = first_plan(SMALL)
    assert read_plan(json.loads(json.dumps(write_plan(plan)))) == plan


def test_all_that_is_wrong_is_told_with_its_path() -> None:
    told = document()
    told["now"] = "tomorrow"
    told["calendars"][0]["week"]["mon"] = [["17:00", "08:00"]]
    told["calendars"][0]["week"]["noday"] = []
    del told["jobs"][0]["due"]
    told["jobs"][0]["operations"][0]["minutes"] = "240"
    told["jobs"][1]["operations"][0]["status"] = "lost"
    with pytest.raises(UnreadableError) as refused:
        read_problem(told)
    paths = [error.split(":")[0] for error in refused.value.errors]
    assert paths == [
        "now",
        "calendars[0].week.mon[0]",
        "calendars[0].week.noday",
        "jobs[0].due",
        "jobs[0].operations[0].minutes",
        "jobs[1].operations[0].status",
    ]


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda d: d["people"][0].update(calendar="none"), "people[0].calendar: there is no calendar “none”"),
        (lambda d: d["jobs"][1]["segments"][0].update(bay="B7"), "jobs[1].segments[0].bay: there is no bay"),
        (lambda d: d["jobs"][0]["operations"][0].update(after=["z"]), "there is no operation “z”"),
        (lambda d: d["jobs"][0]["operations"][0].update(segment="z"), "there is no segment of this job “z”"),
        (lambda d: d["jobs"][1]["operations"][0].update(person="z"), "there is no person “z”"),
        (lambda d: d["jobs"][1].update(id="J1"), "“J1” stands there 2 times"),
        (lambda d: d.update(schema="other/1"), "schema: has to be “shop-instance/1”"),
        (lambda d: d.update(now="2026-03-02T10:00+01:00"), "names a time zone"),
        (lambda d: d["bays"][0].update(down=[["2026-03-02T10:00"]]), "bays[0].down[0]: has to be a pair"),
    ],
)
def test_a_name_that_is_not_there_is_told(change: Any, words: str) -> None:
    told = document()
    change(told)
    with pytest.raises(UnreadableError, match=re.escape(words)):
        read_problem(told)


@pytest.mark.parametrize("value", [None, 3, "x", [], [[]], {"schema": 1}])
def test_anything_else_is_refused(value: Any) -> None:
    with pytest.raises(UnreadableError):
        read_problem(value)
    with pytest.raises(UnreadableError):
        read_plan(value)


def test_plan_file_writes_a_plan_that_the_checker_lets_through(tmp_path: Path) -> None:
    problem, plan = tmp_path / "problem.json", tmp_path / "plan.json"
    problem.write_text(json.dumps(document()))
    said = StringIO()
    call_command("plan_file", problem, out=plan, work=0.5, stdout=said, stderr=StringIO())
    assert breaches(SMALL, read_plan(json.loads(plan.read_text()))) == []
    assert "proven" in said.getvalue()


def test_plan_file_says_what_is_wrong(tmp_path: Path) -> None:
    problem = tmp_path / "problem.json"
    with pytest.raises(CommandError, match="cannot be read"):
        call_command("plan_file", problem)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("{", "is no JSON"),
        ("[" * 100_000, "nested too deep"),
        ('{"now": ' + "9" * 5000 + "}", "a number in it that is too long"),
        ('{"schema": "a", "schema": "b"}', "“schema” stands twice in one object"),
        ("{}", "shop-instance/1"),
        ("NaN", "has to be a JSON object"),
    ],
)
def test_a_text_that_is_no_problem_is_refused_in_words(tmp_path: Path, text: str, words: str) -> None:
    problem = tmp_path / "problem.json"
    problem.write_text(text)
    with pytest.raises(CommandError, match=words):
        call_command("plan_file", problem)
    problem.write_bytes(b"\xff\xfe{")
    with pytest.raises(CommandError, match="no text in UTF-8"):
        call_command("plan_file", problem)


@pytest.mark.parametrize(
    ("key", "value", "words"),
    [
        (
            "minutes",
            10**400,
            "minutes: is a number of more than eighteen digits; it has to be 200000 or less",
        ),
        ("minutes", float("nan"), "minutes: has to be a whole number"),
        ("minutes", True, "minutes: has to be a whole number"),
        ("minutes", -15, "minutes: is -15; it has to be 0 or more"),
        ("id", "\ud800", "has half of a character in it"),
        ("after", "a", "after: has to be a list"),
        ("after", [3], "after[0]: has to be a text"),
        ("parts_at", "2026-02-30T10:00", "“2026-02-30T10:00” is no time"),
        ("parts_at", 10**400, "parts_at: has to be a local time"),
    ],
)
def test_a_value_of_another_kind_is_told(key: str, value: Any, words: str) -> None:
    told = document()
    told["jobs"][0]["operations"][1][key] = value
    with pytest.raises(UnreadableError, match=re.escape(words)):
        read_problem(told)


def test_times_beyond_all_reckoning_are_told_or_do_no_harm() -> None:
    told = document()
    told["now"] = "9999-12-31T23:45"
    with pytest.raises(UnreadableError, match="outside of the years 1970 to 2200"):
        read_problem(told)
    told = document()
    told["jobs"][0]["due"], told["jobs"][0]["release"] = "9999-12-31T23:45", "0001-01-01T00:00"
    told["bays"][0]["down"] = [
        ["0001-01-01T00:00", "2025-01-01T00:00"],
        ["2400-01-01T00:00", "9999-12-31T23:45"],
    ]
    told["jobs"][0]["operations"][1]["parts_at"] = "9999-01-01T00:00"
    found = search(read_problem(told), LIMITS)
    assert set(found.plan.of) == {"c", "d"}
    assert "which is more than five years away" in str(found.faults[0])


@pytest.mark.parametrize(
    "option",
    [{"seconds": float("nan")}, {"seconds": -1.0}, {"workers": 10**9}, {"seed": 2**40}, {"seed": -1}],
)
def test_a_limit_that_is_none_is_told(tmp_path: Path, option: dict[str, Any]) -> None:
    with pytest.raises(CommandError, match=f"--{next(iter(option))} has to be"):
        call_command("plan_file", tmp_path / "problem.json", **option)


def test_nothing_to_do_is_written_as_an_empty_plan(tmp_path: Path) -> None:
    told = document()
    told["jobs"] = []
    problem, plan = tmp_path / "problem.json", tmp_path / "plan.json"
    problem.write_text("\ufeff" + json.dumps(told))
    call_command("plan_file", problem, out=plan, work=0.5, stdout=StringIO(), stderr=StringIO())
    assert read_plan(json.loads(plan.read_text())).assignments == ()
