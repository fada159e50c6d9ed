"""Certificates that run out before all is done: planned as if they were renewed in time, and told."""

import datetime as dt
from dataclasses import replace

from jobs.planning.plan import Fault
from jobs.planning.problem import Certificate, Person, Problem, Status


def as_if_renewed(problem: Problem, days: int) -> tuple[Problem, list[Fault]]:
    """Where within so many days nobody would have a skill any more, the last certificate goes on.

    One that has run out already stays so: whoever had it may not do the work now.
    """
    today = problem.now.date()
    last = today + dt.timedelta(days=days)
    todo = (one for one in problem.operations() if one.status is not Status.DONE)
    skills = {name for one in todo for name in (one.skill, *(crew.skill for crew in one.crew)) if name}
    people, faults = {one.id: one for one in problem.people}, []
    for skill in sorted(skills):
        holders = [(_until(one, skill), one.id) for one in people.values() if one.ever_may(skill)]
        until, name = max(holders, default=(dt.date.max, ""))
        if today <= until < last:
            people[name] = _renewed(people[name], skill, until)
            day = f"{until.day} {until:%b %Y}"
            what = f"the last certificate for “{skill}” runs out on {day}; planned as if renewed"
            faults.append(Fault(name, what, "Have it renewed before, or qualify somebody else"))
    return replace(problem, people=tuple(people[one.id] for one in problem.people)), faults


def _until(person: Person, skill: str) -> dt.date:
    if skill in person.skills:
        return dt.date.max
    return max(one.valid_until or dt.date.max for one in person.certificates if one.skill == skill)


def _renewed(person: Person, skill: str, until: dt.date) -> Person:
    def longer(one: Certificate) -> Certificate:
        return replace(one, valid_until=None) if (one.skill, one.valid_until) == (skill, until) else one

    return replace(person, certificates=tuple(longer(one) for one in person.certificates))
