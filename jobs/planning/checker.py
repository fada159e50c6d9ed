"""Looks at a plan and says every rule that it breaks. It knows nothing of the search.

The rules: (0) what is to do or running is there once and nothing else is; (1) work happens in working time
and ends when its minutes have passed, on one date or unbroken where it must; (2) people do one thing at a
time, have the skill on the day, and are others where they must be; (3) what runs stays as it is;
(4) nothing begins before now, release, parts, instruments and what it comes after; (5) bays; (6) finishes;
(7) what the manager has pinned.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from jobs.planning.bay_check import bay_breaches
from jobs.planning.pin_check import pin_breaches
from jobs.planning.plan import Assignment, Plan
from jobs.planning.problem import Operation, Problem, Span, Status
from jobs.planning.working import NoWorkingTimeError, Working


@dataclass(frozen=True, slots=True)
class Breach:
    """A rule that a plan breaks, at an operation, a car, a person, a bay or a pin."""

    rule: int
    where: str
    what: str

    def __str__(self) -> str:
        return f"rule {self.rule}, {self.where}: {self.what}"


def breaches(problem: Problem, plan: Plan) -> list[Breach]:
    """All that is wrong with the plan; nothing where it is good."""
    found = list(_names(problem, plan))
    if found:
        return found
    working = Working(problem)
    for one in plan.assignments:
        operation = problem.operation[one.op]
        if operation.status is Status.RUNNING:
            found += _running(problem, working, operation, one)
        else:
            found += _time(working, operation, one)
            found += _order(problem, plan, operation, one)
        found += _people(problem, plan, operation, one)
    found += _one_at_a_time(plan)
    found += [Breach(5, where, what) for where, what in bay_breaches(problem, plan)]
    found += _finishes(problem, plan)
    found += [Breach(7, where, what) for where, what in pin_breaches(problem, plan)]
    return found


def _names(problem: Problem, plan: Plan) -> Iterator[Breach]:
    if plan.instance != problem.name:
        yield Breach(0, plan.instance, f"is a plan for another problem than {problem.name}")
    times = Counter(one.op for one in plan.assignments)
    for operation in problem.operations():
        wanted = operation.status is not Status.DONE
        if times.pop(operation.id, 0) != wanted:
            what = "has to stand there once" if wanted else "is done and has no place in the plan"
            yield Breach(0, operation.id, what)
    for unknown in times:
        yield Breach(0, unknown, "is no operation of the problem")
    for one in plan.assignments:
        for name in (one.person, *one.others):
            if name is not None and name not in problem.person:
                yield Breach(0, one.op, f"there is nobody called {name}")
        if one.bay is not None and one.bay not in problem.bay:
            yield Breach(0, one.op, f"there is no bay {one.bay}")


def _everybody(one: Assignment) -> tuple[str, ...]:
    return (*([one.person] if one.person is not None else []), *one.others)


def _time(working: Working, operation: Operation, one: Assignment) -> Iterator[Breach]:
    people = _everybody(one)
    if not working.is_working(people, one.start):
        yield Breach(1, one.op, f"begins at {one.start}, which is no working time")
    try:
        end = working.end(people, one.start, operation.minutes)
    except NoWorkingTimeError as none:
        yield Breach(1, one.op, str(none))
        return
    if one.end != end:
        yield Breach(1, one.op, f"has to end at {end} and ends at {one.end}")
    if operation.same_day and one.start.date() != one.end.date():
        yield Breach(1, one.op, "has to begin and end on one date")
    if operation.unbroken and (one.end - one.start).total_seconds() != operation.minutes * 60:
        yield Breach(1, one.op, "must not be interrupted")


def _running(problem: Problem, working: Working, operation: Operation, one: Assignment) -> Iterator[Breach]:
    if (one.person, one.others) != (operation.person, operation.others):
        yield Breach(3, one.op, "runs, and has to keep its people")
    if one.start != operation.started:
        yield Breach(3, one.op, f"runs since {operation.started}, not {one.start}")
    try:
        end = working.end(_everybody(one), problem.now, operation.remaining_minutes or 0)
    except NoWorkingTimeError as none:
        yield Breach(3, one.op, str(none))
        return
    if one.end != end:
        yield Breach(3, one.op, f"has to end at {end} and ends at {one.end}")


def _order(problem: Problem, plan: Plan, operation: Operation, one: Assignment) -> Iterator[Breach]:
    floors = {"now": problem.now, "the release": problem.job_of[one.op].release}
    if operation.parts_at:
        floors["its parts"] = operation.parts_at
    floors |= {f"the end of {other}": plan.of[other].end for other in operation.after if other in plan.of}
    for what, at in floors.items():
        if one.start < at:
            yield Breach(4, one.op, f"begins at {one.start}, before {what} at {at}")
    before = plan.of.get(operation.at_once_after or "")
    if before and one.start != before.end:
        yield Breach(4, one.op, f"has to begin when {before.op} ends, at {before.end}")
    for kind in operation.instruments:
        if _all_out(problem, kind, Span(one.start, one.end)):
            yield Breach(4, one.op, f"takes a {kind}, and all of them are out")


def _all_out(problem: Problem, kind: str, span: Span) -> bool:
    """Whether there is an instant of the span at which every instrument of the kind is out."""
    outs = [one.out for one in problem.instruments if one.kind == kind]
    begun = [gap.starts for out in outs for gap in out if span.starts < gap.starts < span.ends]
    instants = [span.starts, *begun]
    return any(all(any(gap.starts <= at < gap.ends for gap in out) for out in outs) for at in instants)


def _people(problem: Problem, plan: Plan, operation: Operation, one: Assignment) -> Iterator[Breach]:
    if (operation.skill is None) != (one.person is None):
        yield Breach(2, one.op, "somebody is there too many" if one.person else "nobody does it")
    everybody = _everybody(one)
    if len(set(everybody)) < len(everybody):
        yield Breach(2, one.op, "takes several people, and one of them stands there twice")
    if operation.status is Status.TODO:
        wanted = [crew.skill for crew in operation.crew for _ in range(crew.count)]
        if len(one.others) != len(wanted):
            yield Breach(2, one.op, f"takes {len(wanted)} further people, and has {len(one.others)}")
        elif not _manned(problem, one, operation.skill, list(one.others), wanted):
            yield Breach(2, one.op, "somebody has not the skill for it on the day")
    for other in operation.not_same_person_as:
        theirs = plan.of.get(other)
        known = problem.operation.get(other)
        done = {known.person, *known.others} if known and known.status is Status.DONE else set()
        shared = set(everybody) & ({*_everybody(theirs)} if theirs else done)
        for name in sorted(shared):
            yield Breach(2, one.op, f"{name} does {other} and must not do this too")


def _manned(
    problem: Problem, one: Assignment, skill: str | None, others: list[str], wanted: list[str]
) -> bool:
    """Whether the person has the skill and the others can be matched to the skills of the crew."""
    first, last = one.start.date(), max(one.start, one.end).date()
    if one.end.time() == one.end.min.time() and last > first:
        last = (one.end - one.end.resolution).date()

    def may(name: str, what: str) -> bool:
        return problem.person[name].may(what, first, last)

    if skill is not None and not (one.person and may(one.person, skill)):
        return False
    match: dict[int, int] = {}

    def placed(person: int, seen: set[int]) -> bool:
        for place, what in enumerate(wanted):
            if place not in seen and may(others[person], what):
                seen.add(place)
                if place not in match or placed(match[place], seen):
                    match[place] = person
                    return True
        return False

    return all(placed(person, set()) for person in range(len(others)))


def _one_at_a_time(plan: Plan) -> Iterator[Breach]:
    by_person: dict[str, list[Assignment]] = {}
    for one in plan.assignments:
        if one.start < one.end:
            for name in set(_everybody(one)):
                by_person.setdefault(name, []).append(one)
    for name, ones in by_person.items():
        ones.sort(key=lambda one: (one.start, one.end))
        latest = ones[0]
        for one in ones[1:]:
            if one.start < latest.end:
                yield Breach(2, name, f"does {latest.op} and {one.op} at the same time, {one.start}")
            latest = max(latest, one, key=lambda each: each.end)


def _finishes(problem: Problem, plan: Plan) -> Iterator[Breach]:
    ends = {
        job.id: max(found)
        for job in problem.jobs
        if (found := [plan.of[one.id].end for one in job.operations if one.id in plan.of])
    }
    for name, times in Counter(one.job for one in plan.jobs).items():
        if times > 1 or name not in problem.job:
            yield Breach(6, name, "stands there twice" if times > 1 else "is no car of the problem")
    for name, end in ends.items():
        told = plan.finish_of.get(name)
        if told is None or told.finish != end:
            yield Breach(6, name, f"is finished at {end}, and the plan says {told and told.finish}")
            continue
        tardy = max(0, int((end - problem.job[name].due).total_seconds()) // 60)
        if told.tardy_minutes != tardy:
            yield Breach(6, name, f"is {tardy} minutes late, and the plan says {told.tardy_minutes}")
