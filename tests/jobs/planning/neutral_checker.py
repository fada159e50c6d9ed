"""A second checker of plans, written from the rules of the neutral form alone; it reads documents.

It shares nothing with the project: time is counted in steps, bays and people are compared pair by pair.
"""

import datetime as dt
from itertools import combinations
from typing import Any

Document = dict[str, Any]
STEP = 15
DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def moment(text: str) -> dt.datetime:
    return dt.datetime.fromisoformat(text)


class Shop:
    """The documents of a problem and a plan, looked up by name."""

    def __init__(self, problem: Document, plan: Document) -> None:
        self.now = moment(problem["now"])
        self.calendars = {one["id"]: one for one in problem["calendars"]}
        self.people = {one["id"]: one for one in problem["people"]}
        self.bays = {one["id"]: one for one in problem["bays"]}
        self.jobs = problem["jobs"]
        self.ops = {one["id"]: one for job in self.jobs for one in job["operations"]}
        self.job_of = {one["id"]: job for job in self.jobs for one in job["operations"]}
        self.plan = plan
        self.of = {one["op"]: one for one in plan["assignments"]}
        self.slot = problem.get("slot_minutes", 15)
        self.counted = [0]

    def is_shift(self, calendar: str, at: dt.datetime) -> bool:
        told = self.calendars[calendar]
        week = told["week"].get(DAYS[at.weekday()], [])
        shifts = told.get("exceptions", {}).get(at.date().isoformat(), week)
        return any(begins <= f"{at:%H:%M}" < ends for begins, ends in shifts)

    def works(self, person: str, at: dt.datetime) -> bool:
        one = self.people[person]
        away = any(moment(a) <= at < moment(b) for a, b in one["absences"])
        return not away and self.is_shift(one["calendar"], at)

    def end(self, person: str, start: dt.datetime, minutes: int) -> dt.datetime | None:
        at = start
        while minutes > 0:
            if at > start + dt.timedelta(days=800):
                return None
            minutes -= STEP if self.works(person, at) else 0
            at += dt.timedelta(minutes=STEP)
        return at

    def working_slots(self, until: dt.datetime) -> int:
        """W(t): the working time of any calendar in use from now to then, absences left aside, in slots."""
        used = {one["calendar"] for one in self.people.values()}
        steps = max(0, -(-(until - self.now) // dt.timedelta(minutes=STEP)))
        while len(self.counted) <= steps:
            at = self.now + dt.timedelta(minutes=STEP * (len(self.counted) - 1))
            worked = any(self.is_shift(name, at) for name in used)
            self.counted.append(self.counted[-1] + (STEP if worked else 0))
        return self.counted[steps] // self.slot


def wrong(problem: Document, plan: Document) -> list[str]:
    """All that is wrong with a plan; nothing where it is good."""
    shop = Shop(problem, plan)
    wanted = sorted(name for name, one in shop.ops.items() if one.get("status", "todo") != "done")
    if wanted != sorted(one["op"] for one in plan["assignments"]):
        return ["the operations are not those that are to do or running, each once"]
    if any(one["person"] not in shop.people for one in plan["assignments"]):
        return ["nobody of that name"]
    told: list[str] = []
    for name, one in shop.of.items():
        told += _operation(shop, shop.ops[name], one)
    told += _people(shop)
    told += _bays(shop)
    told += _finishes(shop)
    return told


def _operation(shop: Shop, op: Document, one: Document) -> list[str]:
    start, end, person = moment(one["start"]), moment(one["end"]), one["person"]
    told = []
    if op.get("status") == "running":
        if person != op["person"] or start != moment(op["started"]):
            told.append(f"3 {op['id']} is not kept as it runs")
        if end != shop.end(person, shop.now, op["remaining_minutes"]):
            told.append(f"3 {op['id']} ends wrong")
        return told
    if not shop.works(person, start):
        told.append(f"1 {op['id']} begins in no working time")
    if end != shop.end(person, start, op["minutes"]):
        told.append(f"1 {op['id']} ends wrong")
    if op.get("same_day") and start.date() != end.date():
        told.append(f"1 {op['id']} is not on one date")
    if op["skill"] not in shop.people[person]["skills"]:
        told.append(f"2 {op['id']} is done without the skill")
    floors = [shop.now, moment(shop.job_of[op["id"]]["release"])]
    floors += [moment(op["parts_at"])] if op.get("parts_at") else []
    floors += [moment(shop.of[other]["end"]) for other in op.get("after", []) if other in shop.of]
    if start < max(floors):
        told.append(f"4 {op['id']} begins too soon")
    for other in op.get("not_same_person_as", []):
        if other in shop.of and shop.of[other]["person"] == person:
            told.append(f"2 {op['id']} has the same person as {other}")
    return told


def _people(shop: Shop) -> list[str]:
    told = []
    for one, other in combinations(shop.plan["assignments"], 2):
        works = one["start"] < one["end"] and other["start"] < other["end"]
        meet = one["start"] < other["end"] and other["start"] < one["end"]
        if one["person"] == other["person"] and works and meet:
            told.append(f"2 {one['op']} and {other['op']} at the same time")
    return told


def _bays(shop: Shop) -> list[str]:
    told, holds = [], []
    for job in shop.jobs:
        for op in job["operations"]:
            if op["segment"] is None and op["id"] in shop.of and shop.of[op["id"]]["bay"] is not None:
                told.append(f"5 {op['id']} is bench work")
        for segment in job.get("segments", []):
            mine = [
                shop.of[op["id"]]
                for op in job["operations"]
                if op["segment"] == segment["id"] and op["id"] in shop.of
            ]
            bays = {one["bay"] for one in mine}
            if not mine:
                continue
            if len(bays) != 1 or not bays <= set(shop.bays):
                told.append(f"5 {segment['id']} is not in one bay")
                continue
            bay = bays.pop()
            if segment["bay"] is not None and bay != segment["bay"]:
                told.append(f"5 {segment['id']} has left its bay")
            if segment["bay"] is None and not set(segment["bay_features"]) <= set(shop.bays[bay]["features"]):
                told.append(f"5 {segment['id']}: {bay} lacks something")
            begins = shop.now if segment["bay"] is not None else moment(min(one["start"] for one in mine))
            holds.append((bay, max(begins, shop.now), moment(max(one["end"] for one in mine))))
    for bay, begins, ends in holds:
        for a, b in shop.bays[bay]["down"]:
            if begins < moment(b) and moment(a) < ends:
                told.append(f"5 {bay} is down")
    for (bay, begins, ends), (other, starts, stops) in combinations(holds, 2):
        if bay == other and begins < stops and starts < ends:
            told.append(f"5 {bay} holds two")
    return told


def _finishes(shop: Shop) -> list[str]:
    told = []
    said = {one["job"]: one for one in shop.plan["jobs"]}
    for job in shop.jobs:
        ends = [moment(shop.of[op["id"]]["end"]) for op in job["operations"] if op["id"] in shop.of]
        if not ends:
            continue
        tardy = max(0, int((max(ends) - moment(job["due"])).total_seconds()) // 60)
        one = said.get(job["id"])
        if one is None or (moment(one["finish"]), one["tardy_minutes"]) != (max(ends), tardy):
            told.append(f"6 {job['id']} is not finished as told")
    return told


def objective(problem: Document, plan: Document) -> int:
    """Flow and ten times the weighted lateness of all jobs in the plan, in slots of working time."""
    shop = Shop(problem, plan)
    due = {job["id"]: job for job in shop.jobs}
    total = 0
    for one in plan["jobs"]:
        finish = shop.working_slots(moment(one["finish"]))
        late = max(0, finish - shop.working_slots(moment(due[one["job"]]["due"])))
        total += finish + 10 * due[one["job"]]["weight"] * late
    return total
