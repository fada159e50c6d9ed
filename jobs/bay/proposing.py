"""What somebody at the tablet would do next on a car, and why just that."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import prefetch_related_objects
from django.utils.translation import gettext as _

from jobs.gates.conditions import reasons_against_starting
from jobs.models import Assignment, WorkNote
from jobs.reasons import Reason
from jobs.record import JobRecord, OperationStanding
from jobs.recording.signing import WORKING_ROLES
from jobs.work_time import WorkedTime, unread_hand_overs, worked_times
from shop.models import Person, Role, Skill


@dataclass(frozen=True)
class Proposal:
    """The next operation for one person on one car.

    `against` is what stands before it, where nothing can be done at once; `held` is the first
    operation of the route, where a later one is proposed in its stead; `told` is what the shift
    before has to say about the operation.
    """

    record: JobRecord
    operation: OperationStanding | None
    why: str = ""
    against: tuple[Reason, ...] = ()
    held: OperationStanding | None = None
    time: WorkedTime | None = None
    told: tuple[WorkNote, ...] = ()
    now: dt.datetime | None = None


def propose(
    record: JobRecord, person: Person, *, assigned: Iterable[Assignment], now: dt.datetime
) -> Proposal:
    """What is at hand for somebody: their own work first, then what is in work, then what can be started."""
    prefetch_related_objects([person], "certificates")
    times = worked_times(record.operations, now=now)
    operation, why = _in_work(record, person, times, now.astimezone(record.zone).date())
    held: OperationStanding | None = None
    against: tuple[Reason, ...] = ()
    if operation is None:
        operation, why, held, against = _startable(record, person, _assigned_codes(assigned, person), now)
    if operation is None:
        return Proposal(record, None, why, against, held, now=now)
    row = operation.job_operation
    notes = WorkNote.objects.filter(job_operation=row, is_hand_over=True).select_related("person")
    told = unread_hand_overs(notes, times[row.pk], person)
    return Proposal(record, operation, why, against, held, times[row.pk], told, now)


def _in_work(
    record: JobRecord, person: Person, times: dict[int, WorkedTime], today: dt.date
) -> tuple[OperationStanding | None, str]:
    """What they are at, or were at last; else what somebody has begun."""
    in_work = [o for o in record.operations if o.is_in_work]
    mine = [(times[o.job_operation.pk].last_at(person), o) for o in in_work]
    last = max(((at, o.position, o) for at, o in mine if at is not None), default=None)
    if last is not None:
        at_work = times[last[2].job_operation.pk].is_at_work(person)
        return last[2], _("You are at it") if at_work else _("You were at it last")
    first = next((o for o in in_work if may_work(person, o, on=today)), None)
    return first, _("In work") if first else ""


def _startable(
    record: JobRecord, person: Person, assigned: frozenset[str], now: dt.datetime
) -> tuple[OperationStanding | None, str, OperationStanding | None, tuple[Reason, ...]]:
    """The first that can be started, those that they were put onto before others."""
    today = now.astimezone(record.zone).date()
    waiting = [o for o in record.operations if not o.is_done and not o.is_in_work]
    first = next(iter(waiting), None)
    for operation in sorted(waiting, key=lambda o: (o.code not in assigned, o.position)):
        if may_work(person, operation, on=today) and not reasons_against_starting(record, operation, now=now):
            why = _("You were put onto it") if operation.code in assigned else _("Next on the route")
            return operation, why, first if first is not operation else None, ()
    if first is None:
        return record.in_hand, "", None, ()
    reasons = tuple(reasons_against_starting(record, first, now=now))
    return first, _("Next on the route"), None, reasons


def may_work(person: Person, operation: OperationStanding, *, on: dt.date) -> bool:
    """By role, and by a welding certificate valid on that day where one is asked for."""
    skill = operation.operation.skill
    if skill == Skill.STRUCTURAL_WELDING and not person.is_certified(skill, on=on):
        return False
    return person.role in WORKING_ROLES | ({Role.SERVICE_WRITER} if skill == Skill.SERVICE else set())


def _assigned_codes(assigned: Iterable[Assignment], person: Person) -> frozenset[str]:
    mine = (a for a in assigned if a.person_id == person.pk and a.job_operation is not None)
    return frozenset(a.job_operation.operation.code for a in mine if a.job_operation is not None)
