"""Problems of the neutral form at the ends of what it allows, repeatable by their number.

Of a `sound` problem everything can be planned: whoever is asked has somebody with hours for it, bays close
for a time only, a car that stands in a bay can leave it. An odd one may hold anything that the form can say.
"""

import datetime as dt
from dataclasses import dataclass, field
from random import Random
from typing import Any

Document = dict[str, Any]
DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
# A Monday morning, a lunch break, a Sunday night, the nights of both clock changes, a leap day, a year's end.
NOWS = (
    "2026-03-02T10:00",
    "2026-03-04T12:15",
    "2026-03-08T23:45",
    "2026-03-29T00:30",
    "2026-10-25T02:30",
    "2028-02-28T15:45",
    "2026-12-31T08:00",
    "2026-05-15T20:00",
)
TWO_HALVES = [["08:00", "12:00"], ["12:30", "16:30"]]
WEEKS = {
    "standard": dict.fromkeys(DAYS[:5], TWO_HALVES),
    "long": {key: [["07:00", "12:00"], ["12:30", "17:30"]] for key in DAYS[:4]},
    "late": {key: [["12:00", "20:00"]] for key in DAYS[:5]},
    "nights": {key: [["00:00", "06:00"], ["22:00", "24:00"]] for key in DAYS},
    "always": {key: [["00:00", "24:00"]] for key in DAYS},
    "hour": {"wed": [["09:00", "10:00"]]},
    "pieces": {key: [["06:00", "06:15"], ["06:30", "09:00"], ["09:00", "11:45"]] for key in DAYS[1:6]},
}
SKILLS, FEATURES = ("fab", "weld", "inspect", "align"), ("stands", "lift", "rack")


@dataclass
class Shop:
    """What has been drawn so far."""

    random: Random
    sound: bool
    now: dt.datetime
    bays: list[Document] = field(default_factory=list)
    people: list[Document] = field(default_factory=list)
    taken: set[str] = field(default_factory=set)
    operations: list[str] = field(default_factory=list)

    def chance(self, share: float) -> bool:
        return self.random.random() < share

    def at(self, days: float) -> str:
        """So many days from the morning of now, to the quarter of an hour."""
        morning = self.now.replace(hour=8, minute=0)
        return (morning + dt.timedelta(minutes=round(days * 96) * 15)).isoformat(timespec="minutes")


def hostile_problem(number: int, sound: bool = True) -> Document:
    random = Random(number)
    shop = Shop(random, sound, dt.datetime.fromisoformat(random.choice(NOWS)))
    names = random.sample(sorted(WEEKS), random.choice((1, 1, 2, 3)))
    shop.bays = [_bay(shop, number) for number in range(random.choice((1, 1, 2, 3, 6)))]
    shop.people = [_person(shop, number, names) for number in range(random.choice((1, 1, 2, 3, 5)))]
    jobs = random.choice((1, 1, 2, 3, 4, 6, 9)) if random.random() < 0.96 else 42
    return {
        "schema": "shop-instance/1",
        "name": f"hostile {number}",
        "seed": number,
        "now": shop.now.isoformat(timespec="minutes"),
        "slot_minutes": 15,
        "calendars": [_calendar(shop, name) for name in names],
        "bays": shop.bays,
        "people": shop.people,
        "jobs": _jobs(shop, jobs),
    }


def _calendar(shop: Shop, name: str) -> Document:
    """Public holidays, a closed fortnight, a working weekend, now and then no week at all."""
    exceptions: Document = {}
    day = shop.now.date()
    for _ in range(shop.random.choice((0, 0, 1, 3))):
        off = day + dt.timedelta(days=shop.random.randint(0, 20))
        exceptions[off.isoformat()] = shop.random.choice(([], [], [["09:00", "11:30"]]))
    if shop.chance(0.15):
        begins = shop.random.randint(0, 9)
        exceptions |= {(day + dt.timedelta(days=begins + n)).isoformat(): [] for n in range(14)}
    week = {} if not shop.sound and shop.chance(0.08) else WEEKS[name]
    return {"id": name, "week": week, "exceptions": exceptions}


def _gaps(shop: Shop, share: float) -> list[list[str]]:
    """Whole weeks, hours, nothing but a weekend, past and gone."""
    gaps = []
    while shop.chance(share) and len(gaps) < 4:
        begins = shop.random.choice((-20, -1, 0, 0.25, 1, 3, 4.5, 5, 9, 16))
        gaps.append([shop.at(begins), shop.at(begins + shop.random.choice((0.125, 0.5, 1, 2, 7, 21)))])
    if not shop.sound and shop.chance(0.03):
        gaps.append([shop.at(2), shop.at(5000)])
    return gaps


def _bay(shop: Shop, number: int) -> Document:
    whole = number == 0 and (shop.sound or shop.chance(0.7))
    features = FEATURES if whole else shop.random.sample(FEATURES, shop.random.randint(0, 3))
    return {"id": f"B{number}", "features": list(features), "down": _gaps(shop, 0.25)}


def _person(shop: Shop, number: int, calendars: list[str]) -> Document:
    whole = number == 0 and (shop.sound or shop.chance(0.7))
    skills = SKILLS if whole else shop.random.sample(SKILLS, shop.random.randint(0, 3))
    calendar = shop.random.choice(calendars)
    return {"id": f"P{number}", "skills": list(skills), "calendar": calendar, "absences": _gaps(shop, 0.3)}


def _jobs(shop: Shop, count: int) -> list[Document]:
    jobs = [_job(shop, f"J{number}") for number in range(count)]
    if shop.chance(0.15):
        jobs += [_twin(jobs[-1], f"T{n}") for n in range(3) if not _begun(jobs[-1])]
    if shop.chance(0.2):
        for job in jobs:
            job["weight"] = 0
    return jobs


def _begun(job: Document) -> bool:
    return any(one["status"] != "todo" for one in job["operations"]) or any(
        one["bay"] for one in job["segments"]
    )


def _twin(job: Document, name: str) -> Document:
    """The same car once more."""

    def named(text: str | None) -> str | None:
        return text and text.replace(job["id"], name, 1)

    return job | {
        "id": name,
        "segments": [one | {"id": named(one["id"])} for one in job["segments"]],
        "operations": [
            one
            | {"id": named(one["id"]), "segment": named(one["segment"])}
            | {key: [named(other) for other in one[key]] for key in ("after", "not_same_person_as")}
            for one in job["operations"]
        ],
    }


def _job(shop: Shop, name: str) -> Document:
    random = shop.random
    segments = [
        {
            "id": f"{name}.{n}",
            "bay_features": random.sample(FEATURES, random.choice((0, 1, 1, 2))),
            "bay": None,
        }
        for n in range(random.choice((0, 1, 1, 2, 3)))
    ]
    operations: list[Document] = []
    count = random.choice((1, 2, 4, 6))
    for n in range(count):
        place = segments[n * len(segments) // count]["id"] if segments and shop.chance(0.85) else None
        operations.append(_operation(shop, f"{name}-{n}", place, [one["id"] for one in operations]))
    _begin(shop, operations, segments)
    shop.operations += [one["id"] for one in operations]
    return {
        "id": name,
        "weight": random.choice((0, 1, 1, 3, 1000)),
        "release": shop.at(random.choice((-300, 0, 0, 2, 40))),
        "due": shop.at(random.choice((-30, 0, 1.25, 4.5, 12, 200))),
        "segments": segments,
        "operations": operations,
    }


def _operation(shop: Shop, name: str, segment: str | None, before: list[str]) -> Document:
    random = shop.random
    minutes = random.choice((0, 15, 15, 60, 240, 480, 600, 2400))
    same_day = shop.chance(0.3) and (minutes <= 60 or not shop.sound)
    one: Document = {
        "id": name,
        "stage": random.choice(("teardown", "welding")),
        "minutes": minutes,
        "skill": random.choice(SKILLS),
        "segment": segment,
        "after": random.sample(before, min(len(before), random.randint(0, 2))),
        "parts_at": random.choice((None, None, None, shop.at(2.5), shop.at(-40), shop.at(60))),
        "hold": shop.chance(0.2),
        "same_day": same_day,
        "not_same_person_as": [],
        "status": "todo",
    }
    if not shop.sound:
        if shop.operations and shop.chance(0.15):
            one["after"].append(random.choice(shop.operations))
        if before and shop.chance(0.3):
            one["not_same_person_as"] = random.sample([*before, *shop.operations[:2]], 1)
    elif before and shop.chance(0.3) and len(shop.people) > 1:
        able = [who for who in shop.people[1:] if one["skill"] in who["skills"]]
        one["not_same_person_as"] = before[-1:] if len(able) > 1 else []
    return one


def _begin(shop: Shop, operations: list[Document], segments: list[Document]) -> None:
    """Now and then the first operations are done; one runs, in a bay of its own where it takes one."""
    random = shop.random
    if shop.chance(0.5):
        return
    done = random.randint(0, len(operations) - 1)
    for one in operations[:done]:
        one["status"] = "done"
    runs = operations[done]
    place = next((one for one in segments if one["id"] == runs["segment"]), None)
    if place is not None and not _enters(shop, place):
        return
    able = [
        who["id"]
        for who in shop.people
        if (runs["skill"] in who["skills"] and who["id"] not in shop.taken)
        or (not shop.sound and shop.chance(0.05))
    ]
    if able and shop.chance(0.7):
        left, since = random.choice((0, 15, 90, 2400)), shop.at(random.choice((-1, -30)))
        runs |= {"status": "running", "person": able[0], "started": since, "remaining_minutes": left}
        runs["not_same_person_as"] = []
        shop.taken.add(able[0])


def _enters(shop: Shop, place: Document) -> bool:
    free = [
        bay
        for bay in shop.bays
        if (bay["id"] not in shop.taken and set(place["bay_features"]) <= set(bay["features"]))
        or (not shop.sound and shop.chance(0.05))
    ]
    if not free:
        return False
    place["bay"] = free[0]["id"]
    shop.taken.add(free[0]["id"])
    if shop.sound or shop.chance(0.5):
        free[0]["down"] = []
    return True
