"""The gates: what must hold before a car goes on. Each is one function of the record.

A gate returns its reasons, each with what would clear it; no reason, and it holds. What may be set aside
says by whom; authority, permits, marks, weld inspection, fire watch and the joints of steering,
suspension and brakes are never set aside.
"""

import datetime as dt
from collections.abc import Callable, Iterable, Iterator

from django.utils.translation import gettext as _

from jobs.gates.kit_list import before_its_parts_are_decided, before_release_the_list_is_decided
from jobs.gates.proofs import all_proved_before, in_doubt, not_proved
from jobs.gates.revision import before_its_revision_is_decided, before_release_the_revision_is_decided
from jobs.gates.stopped import before_problems_are_decided, before_what_it_stands_on_is_settled
from jobs.gates.words import (
    extra_work_not_allowed,
    kit_not_counted,
    no_authority,
    no_authority_to_cut,
    nothing_proves,
    open_checkpoint,
    open_checkpoints,
    open_nonconformance,
    shortage,
)
from jobs.models import SAFETY_JOINTS, CustomerAnswer, Flag, Joint, OperationState, Proves
from jobs.need import need_date
from jobs.reasons import LEAD, MANAGER, NOBODY, Reason
from jobs.record import CheckpointStanding, JobRecord, OperationStanding
from parts.in_time import comes_too_late

Gate = Callable[[JobRecord, OperationStanding, dt.datetime], Iterator[Reason]]


def reasons_against_starting(
    record: JobRecord, operation: OperationStanding, *, now: dt.datetime
) -> list[Reason]:
    """Everything that stands against starting an operation; what was set aside is left out."""
    found = [r for gate in BEFORE_START for r in gate(record, operation, now)]
    return _without_overridden(record, operation, found)


def reasons_against_work(
    record: JobRecord, operation: OperationStanding, *, now: dt.datetime, sparks: bool = True
) -> list[Reason]:
    """Everything that stands against recording work in an operation that was started.

    Without `sparks`, for what makes none (the fire watch itself, finishing): the permit may have run out.
    """
    gates = DURING_WORK if sparks else WITHOUT_SPARKS
    return _without_overridden(record, operation, [r for gate in gates for r in gate(record, operation, now)])


def reasons_against_finishing(
    record: JobRecord, operation: OperationStanding, *, now: dt.datetime
) -> list[Reason]:
    """Everything that stands against finishing an operation.

    A joint that is listed for tightening at ride height may stay open: it is closed before the car is driven.
    """
    found = [
        *open_checkpoints(c for c in operation.checkpoints if not c.checkpoint.at_ride_height),
        *(
            open_nonconformance(n.number, n.text)
            for n in record.open_nonconformances
            if n.job_operation_id == operation.job_operation.pk
        ),
    ]
    found += before_its_revision_is_decided(record, operation, now)
    found += before_its_parts_are_decided(record, operation, now)
    return _unique([*reasons_against_work(record, operation, now=now, sparks=False), *found])


def reasons_against_release(record: JobRecord, *, now: dt.datetime) -> list[Reason]:
    """Everything that is open when a car is to be handed over. None of it can be set aside."""
    found: list[Reason] = []
    if not record.authorities:
        found.append(no_authority())
    found += before_release_the_revision_is_decided(record)
    found += before_release_the_list_is_decided(record)
    for operation in record.operations:
        if not operation.is_done:
            found.append(
                Reason(
                    f"operation:{operation.code}",
                    _("Operation %(code)s %(title)s is not finished")
                    % {"code": operation.code, "title": operation.operation.title},
                    _("Finish it"),
                    operation.code,
                )
            )
        found += open_checkpoints(operation.open_checkpoints)
    found += [open_nonconformance(n.number, n.text) for n in record.open_nonconformances]
    found += [extra_work_not_allowed(extra) for extra in record.extra_work_waiting]
    found += [shortage(line, NOBODY) for line in record.kit.shortages if line.is_critical]
    return _unique(found)


def before_every_operation(
    record: JobRecord, operation: OperationStanding, now: dt.datetime
) -> Iterator[Reason]:
    """The operations before it are done."""
    for one in record.must_come_before(operation):
        if not one.is_done:
            yield Reason(
                f"after:{one.code}",
                _("%(code)s %(title)s is not finished") % {"code": one.code, "title": one.operation.title},
                _("Finish it first"),
                one.code,
                LEAD,
            )


def before_extra_work_is_allowed(
    record: JobRecord, operation: OperationStanding, now: dt.datetime
) -> Iterator[Reason]:
    """An operation that was added as extra work waits for the customer's yes."""
    extra = operation.addition.extra_work if operation.addition else None
    if extra is not None and (extra.answer != CustomerAnswer.YES or extra.withdrawn_at is not None):
        yield extra_work_not_allowed(extra)


def before_parts_are_used(
    record: JobRecord, operation: OperationStanding, now: dt.datetime
) -> Iterator[Reason]:
    """The kit's parts that this operation, or what it does once more, is the first to need are here."""
    codes = record.stands_for(operation)
    lines = [line for line in record.kit.lines if line.operation in codes]
    if lines and not record.kit.is_counted:
        yield kit_not_counted(record)
        return
    for line in lines:
        if line.short:
            yield shortage(line, MANAGER if line.is_critical else LEAD)


def before_it_stops_rolling(
    record: JobRecord, operation: OperationStanding, now: dt.datetime
) -> Iterator[Reason]:
    """A car that cannot roll blocks its bay: authority, kit counted, shortages covered by date or name."""
    if not operation.does(Flag.STOPS_ROLLING):
        return
    if record.cuts_structure:
        if not record.allows_cutting:
            yield no_authority_to_cut()
    elif not record.authorities:
        yield no_authority()
    if not record.kit.is_counted:
        yield kit_not_counted(record)
        return
    on_the_way = until_it_rolls_again(record, operation)
    needed = {code: o for o in reversed(on_the_way) for code in record.stands_for(o)}
    for line in record.kit.shortages:
        # A part of an operation that this route does not know may be needed at once.
        at = needed.get(line.operation) or (None if record.find(line.operation) else operation)
        if at is None:
            continue
        need = need_date(record, at, now=now)
        # A date that has gone by without the part tells nothing.
        today = now.astimezone(record.zone).date()
        if comes_too_late(line.eta, need) or line.eta is None or line.eta < today:
            yield shortage(line, MANAGER, need=need)


def before_structure_is_cut(
    record: JobRecord, operation: OperationStanding, now: dt.datetime
) -> Iterator[Reason]:
    """No cut, hole or drilled spot weld before authority, baseline, datums, level, witnessed marks."""
    if not operation.does(Flag.CUTS_STRUCTURE):
        return
    if not record.allows_cutting:
        yield no_authority_to_cut()
    yield from all_proved_before(record, operation, Flag.CUTS_STRUCTURE, now)


def before_hot_work(record: JobRecord, operation: OperationStanding, now: dt.datetime) -> Iterator[Reason]:
    """No spark, tack or grinding before the permit checks of this operation, given today."""
    if not operation.does(Flag.HOT_WORK):
        return
    permits = [c for c in operation.checkpoints if c.proves(Proves.PERMIT)]
    if not permits:
        yield nothing_proves(operation, Proves.PERMIT)
    for standing in permits:
        yield from not_proved(record, standing, Proves.PERMIT, now)


def before_finish_weld(record: JobRecord, operation: OperationStanding, now: dt.datetime) -> Iterator[Reason]:
    """No finish weld before coupon, trial fit and the measured tacked position conform."""
    if operation.does(Flag.FINISH_WELD):
        yield from all_proved_before(record, operation, Flag.FINISH_WELD, now)


def before_welded_structure_is_used(
    record: JobRecord, operation: OperationStanding, now: dt.datetime
) -> Iterator[Reason]:
    """No assembly on welded structure before weld inspection, fire watch and re-measurement are closed."""
    if operation.does(Flag.ON_WELDED_STRUCTURE):
        yield from all_proved_before(record, operation, Flag.ON_WELDED_STRUCTURE, now)


def before_welds_are_covered(
    record: JobRecord, operation: OperationStanding, now: dt.datetime
) -> Iterator[Reason]:
    """No primer or sealer over an uninspected weld."""
    if operation.does(Flag.COVERS_WELDS):
        yield from all_proved_before(record, operation, Flag.COVERS_WELDS, now)


def before_it_stands_on_its_wheels(
    record: JobRecord, operation: OperationStanding, now: dt.datetime
) -> Iterator[Reason]:
    """Every suspension joint is tightened, or listed for tightening at ride height."""
    if not operation.does(Flag.ONTO_WHEELS):
        return
    for standing in _joints_before(record, operation, {Joint.SUSPENSION}):
        if standing.is_closed:
            yield from in_doubt(record, standing)
        elif not standing.checkpoint.at_ride_height:
            yield open_checkpoint(standing)


def before_it_is_driven(
    record: JobRecord, operation: OperationStanding, now: dt.datetime
) -> Iterator[Reason]:
    """Every steering, suspension and brake joint conforms, the brakes hold, the wheel nuts are tight."""
    if not operation.does(Flag.DRIVEN):
        return
    for standing in _joints_before(record, operation, SAFETY_JOINTS):
        if standing.is_closed:
            yield from in_doubt(record, standing)
        else:
            yield open_checkpoint(standing)
    yield from all_proved_before(record, operation, Flag.DRIVEN, now)


def until_it_rolls_again(record: JobRecord, operation: OperationStanding) -> list[OperationStanding]:
    """The operations from this one to the one that sets the car on its wheels, or to the end."""
    on_the_way = []
    for o in record.operations:
        if o.position >= operation.position:
            on_the_way.append(o)
            if o.does(Flag.ONTO_WHEELS):
                break
    return on_the_way


DURING_WORK: tuple[Gate, ...] = (
    before_structure_is_cut,
    before_hot_work,
    before_finish_weld,
    before_welded_structure_is_used,
    before_welds_are_covered,
    before_it_stands_on_its_wheels,
    before_it_is_driven,
    before_what_it_stands_on_is_settled,
)
WITHOUT_SPARKS = tuple(gate for gate in DURING_WORK if gate is not before_hot_work)
# The permit checks lie inside of their operation: it is started first, and nothing else goes before them.
BEFORE_START: tuple[Gate, ...] = (
    before_every_operation,
    before_problems_are_decided,
    before_its_revision_is_decided,
    before_its_parts_are_decided,
    before_extra_work_is_allowed,
    before_parts_are_used,
    before_it_stops_rolling,
    *WITHOUT_SPARKS,
)


def _joints_before(
    record: JobRecord, operation: OperationStanding, joints: Iterable[str]
) -> Iterator[CheckpointStanding]:
    wanted = set(joints)
    for o in record.operations:
        if o.position < operation.position and o.state != OperationState.NOT_APPLICABLE:
            yield from (c for c in o.checkpoints if c.checkpoint.joint in wanted)


def _without_overridden(
    record: JobRecord, operation: OperationStanding, reasons: Iterable[Reason]
) -> list[Reason]:
    return _unique(r for r in reasons if not (r.overridable_by and record.is_set_aside(operation, r)))


def _unique(reasons: Iterable[Reason]) -> list[Reason]:
    return list({r.code: r for r in reasons}.values())
