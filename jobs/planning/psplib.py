"""Single-mode project files of the PSPLIB (`.sm`) as planning problems of ours.

A renewable resource of capacity c becomes c people with that skill; an activity takes as many of them, the
first as the one who does it, the others as its crew. Work goes on day and night, a period is an hour, and
the one car is finished when the project is: so the objective, in slots of an hour, is the makespan.
The form: R. Kolisch and A. Sprecher, PSPLIB - A project scheduling problem library, European Journal of
Operational Research 96 (1997), 205-216.
"""

import datetime as dt
import re
from collections import defaultdict
from itertools import pairwise

from jobs.planning.problem import (
    MINUTES_A_DAY,
    Calendar,
    Crew,
    Job,
    Operation,
    Person,
    Problem,
    Shift,
)

PERIOD_MINUTES = 60
START = dt.datetime.fromisoformat("2026-01-05T00:00")
SECTION = re.compile(r"^[ \t]*([A-Z][A-Z/ ]*?)[ \t]*:", re.MULTILINE)
# Nobody is drawn up beyond that: no published project comes near it.
MOST_ACTIVITIES, MOST_CAPACITY, MOST_DURATION = 1_000, 1_000, 3_000


class UnreadableProjectError(ValueError):
    """A file that is no single-mode project."""


def read_project(text: str, name: str) -> Problem:
    """The project of a `.sm` file.

    Raises:
        UnreadableProjectError: where a section is missing or a row is not of the form.
    """
    try:
        successors = _successors(_rows(text, "PRECEDENCE RELATIONS"))
        requests = _requests(_rows(text, "REQUESTS/DURATIONS"))
        capacities = _joined(_rows(text, "RESOURCEAVAILABILITIES"))
        _fits_together(successors, requests, capacities)
        return _problem(name, successors, requests, capacities)
    except (IndexError, KeyError, ValueError) as error:
        raise UnreadableProjectError(f"{name} is no single-mode project file: {error}") from error


def _rows(text: str, section: str) -> list[list[int]]:
    """The rows of whole numbers of a section; its headings are left out."""
    titles = [(found.start(), found.group(1).replace(" ", "")) for found in SECTION.finditer(text)]
    for (begins, title), (ends, _) in pairwise([*titles, (len(text), "")]):
        if title == section.replace(" ", ""):
            lines = (line.split() for line in text[begins:ends].splitlines())
            return [[int(word) for word in line] for line in lines if line and all(map(_is_figure, line))]
    raise ValueError(f"there is no section “{section}”")


def _is_figure(word: str) -> bool:
    return word.isascii() and word.isdigit() and len(word) < 10


def _joined(rows: list[list[int]]) -> list[int]:
    if not rows:
        raise ValueError("no resource has a capacity")
    return [one for row in rows for one in row]


def _successors(rows: list[list[int]]) -> dict[int, list[int]]:
    """Number, modes, how many successors, and those; a long list may go on in the next line."""
    found: dict[int, list[int]] = {}
    left, last = 0, 0
    for row in rows:
        if not left:
            last, modes, left, *ones = row
            if modes != 1:
                raise ValueError(f"activity {last} has {modes} modes")
            if last in found:
                raise ValueError(f"activity {last} stands there twice")
            found[last] = []
        else:
            ones = row
        if len(ones) > left:
            raise ValueError(f"activity {last} has more successors than it says")
        found[last] += ones
        left -= len(ones)
    if left:
        raise ValueError(f"activity {last} has fewer successors than it says")
    return found


def _requests(rows: list[list[int]]) -> dict[int, tuple[int, list[int]]]:
    found: dict[int, tuple[int, list[int]]] = {}
    for number, mode, duration, *takes in rows:
        if mode != 1 or number in found:
            raise ValueError(f"activity {number} has more than one mode, or stands there twice")
        if duration > MOST_DURATION:
            raise ValueError(f"activity {number} lasts more than {MOST_DURATION} periods")
        found[number] = duration, takes
    return found


def _fits_together(
    successors: dict[int, list[int]], requests: dict[int, tuple[int, list[int]]], capacities: list[int]
) -> None:
    """Every activity is in both lists, and takes of as many resources as there are.

    Raises:
        ValueError: else.
    """
    if successors.keys() != requests.keys() or not requests:
        raise ValueError("the precedence relations and the requests name different activities")
    if len(requests) > MOST_ACTIVITIES or max(capacities) > MOST_CAPACITY:
        raise ValueError(f"more than {MOST_ACTIVITIES} activities or {MOST_CAPACITY} of a resource")
    for number, ones in successors.items():
        if unknown := set(ones) - requests.keys():
            raise ValueError(f"activity {number} comes before {min(unknown)}, which is not there")
    for number, (_, takes) in requests.items():
        if len(takes) != len(capacities):
            raise ValueError(f"activity {number} takes of {len(takes)} of {len(capacities)} resources")


def _problem(
    name: str,
    successors: dict[int, list[int]],
    requests: dict[int, tuple[int, list[int]]],
    capacities: list[int],
) -> Problem:
    after: dict[int, list[str]] = defaultdict(list)
    for number, ones in successors.items():
        for one in ones:
            after[one].append(str(number))
    operations = tuple(
        _operation(number, duration, takes, tuple(after[number]))
        for number, (duration, takes) in sorted(requests.items())
    )
    people = tuple(
        Person(f"R{number}-{one}", frozenset({f"R{number}"}), "always")
        for number, capacity in enumerate(capacities, 1)
        for one in range(1, capacity + 1)
    )
    due = START + dt.timedelta(minutes=PERIOD_MINUTES * sum(one for one, _ in requests.values()))
    always = Calendar("always", ((Shift(0, MINUTES_A_DAY),),) * 7)
    job = Job(name, 1, START, due, (), operations)
    return Problem(name, START, (always,), (), people, (job,), slot_minutes=PERIOD_MINUTES)


def _operation(number: int, duration: int, takes: list[int], after: tuple[str, ...]) -> Operation:
    needs = [(f"R{resource}", count) for resource, count in enumerate(takes, 1) if count]
    crew = [Crew(skill, count) for skill, count in needs[1:]]
    if needs and needs[0][1] > 1:
        crew.insert(0, Crew(needs[0][0], needs[0][1] - 1))
    return Operation(
        id=str(number),
        minutes=duration * PERIOD_MINUTES,
        skill=needs[0][0] if needs else None,
        segment=None,
        after=after,
        crew=tuple(crew),
    )
