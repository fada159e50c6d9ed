"""Operations that must not be done by the same person, where too few people may do them."""

from collections.abc import Iterator, Mapping

from jobs.planning.plan import Fault
from jobs.planning.problem import Operation, Problem, Status

Choices = Mapping[str, frozenset[str]]


def too_few_people(problem: Problem) -> Iterator[Fault]:
    """A fault for each operation for which nobody is left, once the others have their people.

    Looked at are those that are tied by “not the same person”, one after another in the order of the
    problem: an operation for which all who may do it are taken goes without, and the others go on.
    """
    tied = tied_by(problem)
    for group in _groups(problem, tied):
        taken = {one.id: names for one in group if (names := _known(one))}
        kept: dict[str, frozenset[str]] = {}
        for one in group:
            if one.status is not Status.TODO or one.skill is None:
                continue
            able = frozenset(person.id for person in problem.people if person.ever_may(one.skill))
            able -= frozenset(name for other in tied[one.id] for name in taken.get(other, ()))
            if one.id in tied[one.id] or not able or not _possible({**kept, one.id: able}, tied):
                yield _fault(problem, one, tied[one.id])
            else:
                kept[one.id] = able


def tied_by(problem: Problem) -> dict[str, set[str]]:
    """For each operation those whose people it may not share, both ways."""
    tied: dict[str, set[str]] = {}
    for one in problem.operations():
        for other in problem.operation.keys() & set(one.not_same_person_as):
            tied.setdefault(one.id, set()).add(other)
            tied.setdefault(other, set()).add(one.id)
    return tied


def _groups(problem: Problem, tied: Mapping[str, set[str]]) -> Iterator[list[Operation]]:
    """The operations that hang together by such ties, each group in the order of the problem."""
    seen: set[str] = set()
    for first in problem.operations():
        if first.id in seen or first.id not in tied:
            continue
        line, mine = [first.id], {first.id}
        while line:
            new = tied[line.pop()] - mine
            mine |= new
            line += new
        seen |= mine
        yield [one for one in problem.operations() if one.id in mine]


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


def _fault(problem: Problem, one: Operation, others: set[str]) -> Fault:
    job = problem.job_of[one.id]
    able = sorted(person.id for person in problem.people if one.skill and person.ever_may(one.skill))
    named = [other.id for other in problem.operations() if other.id in others]
    what = (
        f"has to be done by somebody else than {' and '.join(named)}, and besides "
        f"{', '.join(able) or 'nobody'} there is nobody with the skill “{one.skill}”"
    )
    if one.id in others:
        what = "has to be done by somebody else than whoever does it"
        return Fault(f"{job.name or job.id}, {one.id}", what, "Name another operation there", job.id, one.id)
    way_out = f"Qualify somebody else for “{one.skill}”"
    return Fault(f"{job.name or job.id}, {one.id}", what, way_out, job.id, one.id)
