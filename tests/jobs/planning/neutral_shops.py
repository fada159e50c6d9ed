"""Invented problems of the neutral form with odd things in them, repeatable by their number."""

import datetime as dt
from random import Random
from typing import Any

NOW = dt.datetime.fromisoformat("2026-03-02T10:00")  # a Monday
SKILLS, FEATURES = ("fab", "weld", "inspect"), ("stands", "lift")
WEEKDAYS = ("mon", "tue", "wed", "thu", "fri")


def at(days: float) -> str:
    """So many days from Monday at eight, to the quarter of an hour."""
    minutes = round(days * 24 * 4) * 15
    return (NOW.replace(hour=8) + dt.timedelta(minutes=minutes)).isoformat(timespec="minutes")


def odd_problem(number: int) -> dict[str, Any]:
    random = Random(number)
    bays = [
        {"id": f"B{n}", "features": random.sample(FEATURES, random.randint(0, 2)), "down": _down(random)}
        for n in range(random.randint(1, 3))
    ]
    people = [
        {
            "id": f"P{n}",
            "skills": [SKILLS[n % 3], *random.sample(SKILLS, random.randint(0, 1))],
            "calendar": random.choice(("day", "late")),
            "absences": _down(random),
        }
        for n in range(random.randint(1, 4))
    ]
    taken: set[str] = set()
    return {
        "schema": "shop-instance/1",
        "name": f"odd {number}",
        "seed": number,
        "now": NOW.isoformat(timespec="minutes"),
        "slot_minutes": 15,
        "calendars": [
            {
                "id": "day",
                "week": {day: [["08:00", "12:00"], ["12:30", "16:30"]] for day in WEEKDAYS},
                "exceptions": {"2026-03-04": [], "2026-03-07": [["09:00", "12:00"]]},
            },
            {"id": "late", "week": {day: [["12:00", "20:15"]] for day in WEEKDAYS[:4]}, "exceptions": {}},
        ],
        "bays": bays,
        "people": people,
        "jobs": [_job(random, n, bays, people, taken) for n in range(random.randint(1, 4))],
    }


def _down(random: Random) -> list[list[str]]:
    if random.random() < 0.6:
        return []
    begins = random.choice((1, 3, 4.5))
    return [[at(begins), at(begins + random.choice((0.25, 1, 2)))]]


def _job(random: Random, number: int, bays: list[Any], people: list[Any], taken: set[str]) -> dict[str, Any]:
    name = f"J{number}"
    segments = [
        {"id": f"{name}.{n}", "bay_features": random.sample(FEATURES, random.randint(0, 1)), "bay": None}
        for n in range(random.randint(0, 2))
    ]
    operations: list[dict[str, Any]] = []
    for n in range(random.randint(1, 5)):
        segment = segments[min(n // 2, len(segments) - 1)]["id"] if segments and n != 4 else None
        operations.append(_operation(random, f"{name}-{n}", segment, [one["id"] for one in operations]))
    _begun(random, operations, segments, bays, people, taken)
    return {
        "id": name,
        "weight": random.choice((0, 1, 3)),
        "release": at(random.choice((-5, 0, 0, 2))),
        "due": at(random.choice((-3, 1.25, 4.5, 12))),
        "segments": segments,
        "operations": operations,
    }


def _operation(random: Random, name: str, segment: str | None, before: list[str]) -> dict[str, Any]:
    minutes = random.choice((0, 15, 45, 120, 240, 600))
    one: dict[str, Any] = {
        "id": name,
        "stage": "welding",
        "minutes": minutes,
        "skill": random.choice(SKILLS[:2] if random.random() < 0.8 else SKILLS),
        "segment": segment,
        "after": random.sample(before, min(len(before), random.randint(0, 2))),
        "parts_at": random.choice((None, None, at(2.5), at(-4), at(60))),
        "hold": random.random() < 0.2,
        "same_day": minutes <= 240 and random.random() < 0.3,
        "status": "todo",
    }
    if before and random.random() < 0.3:
        one["not_same_person_as"] = [before[-1]]
    return one


def _begun(
    random: Random,
    operations: list[Any],
    segments: list[Any],
    bays: list[Any],
    people: list[Any],
    taken: set[str],
) -> None:
    """Now and then the first operations are done, and one runs in a bay of its own."""
    free = [one for one in bays if one["id"] not in taken]
    if random.random() < 0.5 or not free:
        return
    done = random.randint(0, len(operations) - 1)
    for one in operations[:done]:
        one["status"] = "done"
    runs = operations[done]
    able = [one["id"] for one in people if one["id"] not in taken and runs["skill"] in one["skills"]]
    place = next((one for one in segments if one["id"] == runs["segment"]), None)
    if place is not None:
        place["bay"] = free[0]["id"]
        free[0]["down"] = []
        taken.add(free[0]["id"])
    if able and random.random() < 0.7:
        left = random.choice((0, 15, 90))
        runs |= {"status": "running", "person": able[0], "started": at(0), "remaining_minutes": left}
        taken.add(able[0])
