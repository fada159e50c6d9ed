"""Operations that must not be done by the same person, where too few people may do them."""

from collections.abc import Iterator, Mapping

from jobs.planning.plan import Fault
from jobs.planning.problem import Job, Operation, Problem, Status

Choices = Mapping[str, frozenset[str]]


def too_few_people(problem: Problem) -> Iterator[Fault]:
    """A fault for each operation for which nobody is left, once the others have their people.

    Looked at are those that are tied by “not the same person”, one after another in the order of the
    job: an operation for which all who may do it are taken goes without, and the others go on.
    """
    for job in problem.jobs:
        tied = _tied(job)
        chosen = {one: names for one in job.operations if (names := _known(one)) and one.id in tied}
        taken = {one.id: names for one, names in chosen.items()}
        kept: dict[str, frozenset[str]] = {}
        for one in job.operations:
            if one.id not in tied or one.status is not Status.TODO or one.skill is None:
                continue
            able = frozenset(person.id for person in problem.people if person.ever_may(one.skill))
            able -= frozenset(name for other in tied[one.id] for name in taken.get(other, ()))
            if not able or not _possible({**kept, one.id: able}, tied):
                yield _fault(problem, job, one, tied[one.id])
            else:
                kept[one.id] = able


def _tied(job: Job) -> dict[str, set[str]]:
    """For each operation those whose people it may not share, both ways."""
    mine = {one.id for one in job.operations}
    tied: dict[str, set[str]] = {}
    for one in job.operations:
        for other in mine.intersection(one.not_same_person_as) - {one.id}:
            tied.setdefault(one.id, set()).add(other)
            tied.setdefault(other, set()).add(one.id)
    return tied


def _known(one: Operation) -> tuple[str, ...]:
    """Who did it or has it in hand; nobody where it is still to do."""
    if one.status is Status.TODO:
        return ()
    return tuple(name for name in (one.person, *one.others) if name)


def _possible(choices: Choices, tied: Mapping[str, set[str]]) -> bool:
    """Whether each can have somebody so that none of those tied together has the same; by trying."""
    if not choices:
        return True
    name = min(choices, key=lambda one: (len(choices[one]), one))
    for person in sorted(choices[name]):
        rest = {
            other: names - {person} if other in tied[name] else names
            for other, names in choices.items()
            if other != name
        }
        if all(rest.values()) and _possible(rest, tied):
            return True
    return False


def _fault(problem: Problem, job: Job, one: Operation, others: set[str]) -> Fault:
    able = sorted(person.id for person in problem.people if one.skill and person.ever_may(one.skill))
    named = [other.id for other in job.operations if other.id in others]
    what = (
        f"has to be done by somebody else than {' and '.join(named)}, and besides "
        f"{', '.join(able) or 'nobody'} there is nobody with the skill “{one.skill}”"
    )
    way_out = f"Qualify somebody else for “{one.skill}”"
    return Fault(f"{job.name or job.id}, {one.id}", what, way_out, job.id, one.id)
