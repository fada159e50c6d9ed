"""The gates: what must hold before a car goes on. Each is one function of the record.

A gate returns its reasons, each with what would clear it; no reason, and it holds. What may be set aside
says by whom; authority, permits, marks, weld inspection, fire watch and the joints of steering,
suspension and brakes are never set aside.
"""

import datetime as dt
from collections.abc import Callable, Iterable, Iterator

from django.utils.translation import gettext as _
from parts.reconciling import LineStanding

from jobs.gate_needs import NEEDS
from jobs.models import SAFETY_JOINTS, Flag, Joint, OperationState, Proves
from jobs.need import need_date
from jobs.reasons import LEAD, MANAGER, NOBODY, Reason
from jobs.record import CheckpointStanding, JobRecord, OperationStanding

Gate = Callable[[JobRecord, OperationStanding, dt.datetime], Iterator[Reason]]

# What a lead may set aside; everything else that a gate asks for holds without exception.
LEAD_MAY_SET_ASIDE = frozenset(
    {Proves.BASELINE, Proves.COUPON, Proves.TRIAL_FIT, Proves.TACK_POSITION, Proves.REMEASURE}
)


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
        *_open_checkpoints(c for c in operation.checkpoints if not c.checkpoint.at_ride_height),
        *(
            _open_nonconformance(n.number, n.text)
            for n in record.open_nonconformances
            if n.job_operation_id == operation.job_operation.pk
        ),
    ]
    return _unique([*reasons_against_work(record, operation, now=now, sparks=False), *found])


def reasons_against_release(record: JobRecord, *, now: dt.datetime) -> list[Reason]:
    """Everything that is open when a car is to be handed over. None of it can be set aside."""
    found: list[Reason] = []
    if not record.authorities:
        found.append(_no_authority())
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
        found += _open_checkpoints(operation.open_checkpoints)
    found += [_open_nonconformance(n.number, n.text) for n in record.open_nonconformances]
    found += [_shortage(line, NOBODY) for line in record.kit.shortages if line.is_critical]
    return _unique(found)


def before_every_operation(
    record: JobRecord, operation: OperationStanding, now: dt.datetime
) -> Iterator[Reason]:
    """The operations before it are done, and nothing about the car is stopped there."""
    for code in operation.operation.after:
        before = record.find(code)
        if before is not None and not before.is_done:
            yield Reason(
                f"after:{code}",
                _("%(code)s %(title)s is not finished") % {"code": code, "title": before.operation.title},
                _("Finish it first"),
                code,
                LEAD,
            )


def before_parts_are_used(
    record: JobRecord, operation: OperationStanding, now: dt.datetime
) -> Iterator[Reason]:
    """The kit's parts that this operation is the first to need are here."""
    lines = [line for line in record.kit.lines if line.operation == operation.code]
    if lines and not record.kit.is_counted:
        yield _kit_not_counted(record)
        return
    for line in lines:
        if line.short:
            yield _shortage(line, MANAGER if line.is_critical else LEAD)


def before_it_stops_rolling(
    record: JobRecord, operation: OperationStanding, now: dt.datetime
) -> Iterator[Reason]:
    """A car that cannot roll blocks its bay: authority, kit counted, shortages covered by date or name."""
    if not operation.does(Flag.STOPS_ROLLING):
        return
    if not record.allows_cutting:
        yield _no_authority_to_cut()
    if not record.kit.is_counted:
        yield _kit_not_counted(record)
        return
    needed = {o.code: o for o in until_it_rolls_again(record, operation)}
    for line in record.kit.shortages:
        at = needed.get(line.operation)
        if at is None:
            continue
        need = need_date(record, at, now=now)
        if line.eta is None or line.eta >= need:
            yield _shortage(line, MANAGER, need=need)


def before_structure_is_cut(
    record: JobRecord, operation: OperationStanding, now: dt.datetime
) -> Iterator[Reason]:
    """No cut, hole or drilled spot weld before authority, baseline, datums, level, witnessed marks."""
    if not operation.does(Flag.CUTS_STRUCTURE):
        return
    if not record.allows_cutting:
        yield _no_authority_to_cut()
    yield from _all_proved_before(record, operation, Flag.CUTS_STRUCTURE, now)


def before_hot_work(record: JobRecord, operation: OperationStanding, now: dt.datetime) -> Iterator[Reason]:
    """No spark, tack or grinding before the permit checks of this operation, given today."""
    if not operation.does(Flag.HOT_WORK):
        return
    permits = [c for c in operation.checkpoints if c.proves(Proves.PERMIT)]
    if not permits:
        yield _nothing_proves(operation, Proves.PERMIT)
    for standing in permits:
        yield from _not_proved(record, standing, Proves.PERMIT, now)


def before_finish_weld(record: JobRecord, operation: OperationStanding, now: dt.datetime) -> Iterator[Reason]:
    """No finish weld before coupon, trial fit and the measured tacked position conform."""
    if operation.does(Flag.FINISH_WELD):
        yield from _all_proved_before(record, operation, Flag.FINISH_WELD, now)


def before_welded_structure_is_used(
    record: JobRecord, operation: OperationStanding, now: dt.datetime
) -> Iterator[Reason]:
    """No assembly on welded structure before weld inspection, fire watch and re-measurement are closed."""
    if operation.does(Flag.ON_WELDED_STRUCTURE):
        yield from _all_proved_before(record, operation, Flag.ON_WELDED_STRUCTURE, now)


def before_welds_are_covered(
    record: JobRecord, operation: OperationStanding, now: dt.datetime
) -> Iterator[Reason]:
    """No primer or sealer over an uninspected weld."""
    if operation.does(Flag.COVERS_WELDS):
        yield from _all_proved_before(record, operation, Flag.COVERS_WELDS, now)


def before_it_stands_on_its_wheels(
    record: JobRecord, operation: OperationStanding, now: dt.datetime
) -> Iterator[Reason]:
    """Every suspension joint is tightened, or listed for tightening at ride height."""
    if not operation.does(Flag.ONTO_WHEELS):
        return
    for standing in _joints_before(record, operation, {Joint.SUSPENSION}):
        if not standing.is_closed and not standing.checkpoint.at_ride_height:
            yield _open_checkpoint(standing)


def before_it_is_driven(
    record: JobRecord, operation: OperationStanding, now: dt.datetime
) -> Iterator[Reason]:
    """Every steering, suspension and brake joint conforms, the brakes hold, the wheel nuts are tight."""
    if not operation.does(Flag.DRIVEN):
        return
    for standing in _joints_before(record, operation, SAFETY_JOINTS):
        if not standing.is_closed:
            yield _open_checkpoint(standing)
    yield from _all_proved_before(record, operation, Flag.DRIVEN, now)


def fire_watch_not_over(
    record: JobRecord, standing: CheckpointStanding, *, now: dt.datetime
) -> Reason | None:
    """The watch lasts the shop's minutes from the last spark of the work that it watches."""
    if not standing.proves(Proves.FIRE_WATCH):
        return None
    last = record.last_hot_work(up_to=record.position_of(standing))
    if last is None:
        return Reason(
            f"watch:{standing.code}",
            _("No hot work is recorded that this watch could follow"),
            _("Start the hot work in its operation first"),
            standing.code,
        )
    over = last + dt.timedelta(minutes=record.settings.fire_watch_minutes)
    if now >= over:
        return None
    local = over.astimezone(record.zone)
    return Reason(
        f"watch:{standing.code}",
        _("The fire watch runs until %(time)s, %(minutes)d minutes after the last hot work")
        % {"time": f"{local:%H:%M}", "minutes": record.settings.fire_watch_minutes},
        _("Keep watching; record it after %(time)s") % {"time": f"{local:%H:%M}"},
        standing.code,
    )


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
)
WITHOUT_SPARKS = tuple(gate for gate in DURING_WORK if gate is not before_hot_work)
# The permit checks lie inside of their operation: it is started first, and nothing else goes before them.
BEFORE_START: tuple[Gate, ...] = (
    before_every_operation,
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


def _all_proved_before(
    record: JobRecord, operation: OperationStanding, flag: Flag, now: dt.datetime
) -> Iterator[Reason]:
    for what in NEEDS[flag]:
        yield from _proved_before(record, operation, what, now)


def _proved_before(
    record: JobRecord, operation: OperationStanding, what: Proves, now: dt.datetime
) -> Iterator[Reason]:
    proofs = [
        c
        for o in record.earlier(operation)
        if o.state != OperationState.NOT_APPLICABLE
        for c in o.checkpoints
        if c.proves(what)
    ]
    if not proofs:
        yield _nothing_proves(operation, what)
    for standing in proofs:
        yield from _not_proved(record, standing, what, now)


def _not_proved(
    record: JobRecord, standing: CheckpointStanding, what: Proves, now: dt.datetime
) -> Iterator[Reason]:
    allowed = LEAD if what in LEAD_MAY_SET_ASIDE and not standing.checkpoint.is_safety else NOBODY
    if not standing.is_closed:
        yield _open_checkpoint(standing, allowed)
        return
    lapsed = record.lapsed(standing, now=now)
    if lapsed:
        yield Reason(
            f"lapsed:{standing.code}",
            f"{standing.code} {standing.checkpoint.title}: {lapsed}",
            _("Record %(code)s again") % {"code": standing.code},
            standing.code,
        )


def _open_checkpoints(standings: Iterable[CheckpointStanding]) -> list[Reason]:
    return [_open_checkpoint(s) for s in standings if not s.is_closed]


def _open_checkpoint(standing: CheckpointStanding, overridable_by: frozenset[str] = NOBODY) -> Reason:
    words = {
        "open": _("is not recorded"),
        "reopened": _("was opened again"),
        "too_close": _("is too close to call"),
        "does_not_conform": _("does not conform"),
    }[standing.state.value]
    clear = {
        "too_close": _("Read it again, let a second person read it, or let the lead decide"),
        "does_not_conform": _("The lead decides what is done about it"),
    }.get(standing.state.value, _("Record it"))
    return Reason(
        f"open:{standing.code}",
        f"{standing.code} {standing.checkpoint.title} {words}",
        clear,
        standing.code,
        overridable_by,
    )


def _open_nonconformance(number: int, text: str) -> Reason:
    return Reason(
        f"nonconformance:{number}",
        _("Nonconformance %(number)d is open: %(text)s") % {"number": number, "text": text},
        _("The lead decides what is done about it, and it is done"),
    )


def _nothing_proves(operation: OperationStanding, what: Proves) -> Reason:
    return Reason(
        f"unproved:{what}",
        _("Nothing in this procedure proves: %(what)s") % {"what": what.label},
        _("The procedure needs a checkpoint for it before %(code)s") % {"code": operation.code},
        operation.code,
    )


def _no_authority() -> Reason:
    return Reason(
        "authority", _("No written authority to work is recorded"), _("Record it on the job's page")
    )


def _no_authority_to_cut() -> Reason:
    return Reason(
        "authority",
        _("The customer has not allowed the car to be cut, in writing"),
        _("The service writer records the authority on the job's page"),
    )


def _kit_not_counted(record: JobRecord) -> Reason:
    number = record.job.kit_order.number
    return Reason(
        "kit_not_counted",
        _("Kit %(number)s has not been counted") % {"number": number},
        _("The parts clerk receives it against its slip"),
        overridable_by=NOBODY,
    )


def _shortage(line: LineStanding, overridable_by: frozenset[str], need: dt.date | None = None) -> Reason:
    """A missing part. As a risk of standing still (`need`) it has a code of its own: another decides it."""
    words = {"number": line.part_number, "name": line.description, "short": line.short}
    text = _("%(short)d of %(number)s %(name)s missing") % words
    if need is not None:
        due = _("no date") if line.eta is None else f"{line.eta:%a} {line.eta.day} {line.eta:%b}"
        text += _(", needed by %(need)s, expected: %(due)s") % {
            "need": f"{need:%a} {need.day} {need:%b}",
            "due": due,
        }
    return Reason(
        f"{'short' if need is None else 'risk'}:{line.part_number}",
        text,
        _("Receive it, or get a date for it that is before the need"),
        line.operation,
        overridable_by,
    )


def _without_overridden(
    record: JobRecord, operation: OperationStanding, reasons: Iterable[Reason]
) -> list[Reason]:
    set_aside = {o.reason_code for o in record.overrides if o.job_operation_id == operation.job_operation.pk}
    return _unique(r for r in reasons if not (r.overridable_by and r.code in set_aside))


def _unique(reasons: Iterable[Reason]) -> list[Reason]:
    return list({r.code: r for r in reasons}.values())
