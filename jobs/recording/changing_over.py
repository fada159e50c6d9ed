"""Changing one car over to a newer revision: what has begun stays by its own, all else goes by the newer.

What was begun and is to be done again comes once more, by the newer revision, in its place in the route.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from django.utils.translation import gettext as _

from jobs.models import Addition, JobOperation, Operation, OperationState
from jobs.procedures.car_change import CarChange
from jobs.procedures.file import OperationData, ProcedureData
from jobs.procedures.file.fields import Faults
from jobs.procedures.file.gates import check_gates
from jobs.procedures.file.rows import data_of
from jobs.record import OperationStanding
from jobs.recording.additions import copy_for_job
from jobs.recording.done_again import leave_off
from jobs.recording.work import Work
from shop.entries import Refused

# Above every place that a route has, so that no two rows ever stand at one place.
ABOVE = 10_000


@dataclass
class Place:
    """One place of the route to come: an operation that stays, one that comes new, one done again."""

    code: str
    operation: Operation
    row: JobOperation | None = None
    copy_of: OperationStanding | None = None
    also_after: list[str] = field(default_factory=list)

    @property
    def has_begun(self) -> bool:
        return self.row is not None and self.row.state != OperationState.WAITING


@dataclass(frozen=True)
class NewRoute:
    """The route as it is to be; `again` the place of each operation that is done once more, by its code."""

    places: tuple[Place, ...]
    again: Mapping[str, Place]


def change_over(
    work: Work, change: CarChange, *, rework: Iterable[str], reason: str
) -> dict[str, JobOperation]:
    """Take the car over to the newer revision; returns the rows that do an operation once more, by its code.

    Args:
        rework: the operations that have begun and are done once more by the newer revision.

    Raises:
        Refused: something open hangs on an operation that would be changed, or a gate could never open.
    """
    _refuse_what_hangs_on_it(change)
    route = _new_route(work, change, tuple(rework))
    _refuse_gates_without_proof(change, route)
    _stop_begun(work, change, route, reason)
    additions = _save(work, route, reason)
    job = work.job
    job.procedure_revision = change.between.new
    job.save(update_fields=["procedure_revision"])
    rows = [place.row for place in route.places if place.row is not None]
    work.tell("job.changed_over", {"to": str(change.between.new)}, job, *additions, *rows)
    return {code: place.row for code, place in route.again.items() if place.row is not None}


def _refuse_what_hangs_on_it(change: CarChange) -> None:
    """A deviation or a problem is about a checkpoint of the old revision; the lead settles it first."""
    touched = {p.code: p.standing for p in change.points if not p.is_passed and p.standing is not None}
    for row in change.record.deviations:
        if row.is_in_force and row.job_operation.operation.code in touched:
            words = {"number": row.number, "code": row.job_operation.operation.code}
            raise Refused(
                _("Deviation %(number)d at %(code)s is from the old revision; withdraw it first, then decide")
                % words
            )
    for problem in change.record.open_nonconformances:
        if problem.job_operation.operation.code in touched:
            words = {"number": problem.number, "code": problem.job_operation.operation.code}
            raise Refused(
                _("Nonconformance %(number)d is open at %(code)s; close it first, then decide") % words
            )


def _new_route(work: Work, change: CarChange, rework: tuple[str, ...]) -> NewRoute:
    record, new = work.record, change.between.new
    by_code = {row.code: row for row in new.operations.order_by("position")}
    own = {o.code: o for o in record.operations if not o.is_added}
    touched = {point.code for point in change.points}
    again = _copies(work, change, rework)
    places: list[Place] = []
    for code, operation in by_code.items():
        standing = own.get(code)
        places.append(_place(code, operation, standing, is_touched=code in touched))
        if code in again:
            places.append(again[code])
    _put_back(places, record.operations, {o.code for o in own.values()} & by_code.keys())
    afters = {code: list(row.after) for code, row in by_code.items()}
    for place in places:
        _wait_for_what_comes_new(place, places, afters, again)
    return NewRoute(tuple(places), again)


def _place(code: str, operation: Operation, standing: OperationStanding | None, *, is_touched: bool) -> Place:
    """What has begun keeps its revision; so does what says the same and has something hanging on it."""
    if standing is None:
        return Place(code, operation)
    row = standing.job_operation
    keeps = row.state != OperationState.WAITING or (not is_touched and _has_evidence(standing))
    kept = standing.operation if keeps else operation
    return Place(code, kept, row, also_after=list(row.also_after))


def _has_evidence(standing: OperationStanding) -> bool:
    return any(c.results or c.deviation for c in standing.checkpoints)


def _copies(work: Work, change: CarChange, rework: tuple[str, ...]) -> dict[str, Place]:
    """The operations of the newer revision that are done once more on this car, under codes of their own."""
    by_code = {o.code: o for o in change.between.new_data.operations}
    points = {point.code: point for point in change.points}
    taken = {o.code for o in work.record.operations} | by_code.keys()
    stands_for: dict[str, str] = {}
    found: dict[str, Place] = {}
    for data in change.between.new_data.operations:
        standing = points[data.code].standing if data.code in rework else None
        if standing is not None:
            copy = copy_for_job(work, data, taken=taken, stands_for=stands_for)
            taken, stands_for = taken | {copy.code}, {**stands_for, data.code: copy.code}
            found[data.code] = Place(copy.code, copy, copy_of=standing, also_after=list(data.after))
    return found


def _put_back(
    places: list[Place], current: tuple[OperationStanding, ...], stays: set[str] | frozenset[str]
) -> None:
    """What the newer revision does not know (added for this car, or not in it any more) keeps its place."""
    last = -1
    for standing in current:
        if standing.code not in stays:
            place = Place(
                standing.code,
                standing.operation,
                standing.job_operation,
                also_after=list(standing.job_operation.also_after),
            )
            places.insert(last + 1, place)
        last = next(n for n, p in enumerate(places) if p.code == standing.code)


def _wait_for_what_comes_new(
    place: Place, places: list[Place], afters: Mapping[str, list[str]], again: Mapping[str, Place]
) -> None:
    """An operation waits for what comes behind operations that were done before the change."""
    if place.has_begun:
        return
    begun = {p.code for p in places if p.has_begun}
    direct = set(afters.get(place.code, ())) | set(place.also_after)
    asked = list(afters.get(place.code, place.also_after))
    seen: set[str] = set()
    while asked:
        code = asked.pop(0)
        if code in seen:
            continue
        seen.add(code)
        if code in again and again[code] is not place:
            place.also_after.append(again[code].code)
        if code in begun:
            asked += afters.get(code, ())
        elif code not in direct:
            place.also_after.append(code)
    place.also_after = list(dict.fromkeys(place.also_after))


def _refuse_gates_without_proof(change: CarChange, route: NewRoute) -> None:
    """The mixed route must be one whose gates can open: each finds before it what it asks for."""
    by_code = {o.code: o for o in change.between.new_data.operations}
    kept = _kept_data(route, by_code)
    left = {standing.job_operation.pk for standing in _ending(change, route)}
    data = [
        kept.get(place.operation.pk) or by_code[place.code]
        for place in route.places
        if place.row is None or not (place.row.state == OperationState.NOT_APPLICABLE or place.row.pk in left)
    ]
    faults = Faults()
    check_gates(ProcedureData("", "", "", "", "", operations=tuple(data)), faults)
    begun = {place.code for place in route.places if place.has_begun}
    told = [fault for fault in faults.errors if fault.name.split(" ")[0].split(".")[0] not in begun]
    if told:
        words = "; ".join(f"{fault.name.split(' ')[0]}: {fault.message}" for fault in told)
        raise Refused(
            _("With what was done so far the new route could not go on: %(why)s. Have it done once more.")
            % {"why": words}
        )


def _kept_data(route: NewRoute, by_code: Mapping[str, OperationData]) -> dict[int, OperationData]:
    """What the operations say that do not go by the newer revision, by the key of their rows."""
    others = {p.operation.revision_id: p.operation.revision for p in route.places}
    rows = {(p.operation.revision_id, p.operation.code): p.operation.pk for p in route.places}
    found: dict[int, OperationData] = {}
    for key, revision in others.items():
        for data in data_of(revision).operations:
            if (key, data.code) in rows:
                found[rows[key, data.code]] = data
    return found


def _ending(change: CarChange, route: NewRoute) -> list[OperationStanding]:
    """What goes no further on this car: in work and done again by the newer, or not in the newer at all."""
    again = [place.copy_of for place in route.again.values() if place.copy_of is not None]
    gone = [p.standing for p in change.points if not p.is_in_new and p.standing is not None]
    waiting = [standing for standing in gone if standing.state == OperationState.WAITING]
    return [*(standing for standing in again if standing.is_in_work), *waiting]


def _stop_begun(work: Work, change: CarChange, route: NewRoute, reason: str) -> None:
    words = {"new": change.between.new.revision, "why": reason}
    for standing in _ending(change, route):
        leave_off(work, standing, _("by revision %(new)s: %(why)s") % words)


def _save(work: Work, route: NewRoute, reason: str) -> list[Addition]:
    """Bring the rows to their places: first all out of the way, then each to its own."""
    made: list[Addition] = []
    for place in route.places:
        if place.row is not None:
            place.row.position += ABOVE
            place.row.save(update_fields=["position"])
    for position, place in enumerate(route.places, start=1):
        if place.row is None:
            place.row = JobOperation.objects.create(
                job=work.job, operation=place.operation, position=position, also_after=place.also_after
            )
        else:
            place.row.position, place.row.operation = position, place.operation
            place.row.also_after = place.also_after
            place.row.save(update_fields=["position", "operation", "also_after"])
        if place.copy_of is not None:
            made.append(_addition(work, place, reason))
    return made


def _addition(work: Work, place: Place, reason: str) -> Addition:
    assert place.row is not None
    assert place.copy_of is not None
    return Addition.objects.create(
        job_operation=place.row,
        copy_of=place.copy_of.operation,
        reason=reason,
        person=work.signer,
        added_at=work.now,
        entry=work.entry,
    )
