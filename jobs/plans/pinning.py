"""Pins: what the manager decides and every plan honours. Put and taken away by name."""

import datetime as dt
from collections.abc import Iterable

from django.db import transaction
from django.utils.translation import gettext as _

from jobs.models import Job, JobOperation, OperationState, Pin, PinKind
from jobs.plans.asking import PLAN_STREAM
from jobs.plans.mapping import pin_id
from shop.days import day_words
from shop.events import append, lock_stream
from shop.models import Bay, Person

DONE = frozenset({OperationState.FINISHED, OperationState.NOT_APPLICABLE})


class CannotPinError(Exception):
    """It may not be so; `field` names what is to be changed, `message` says why."""

    def __init__(self, field: str, message: str) -> None:
        super().__init__(message)
        self.field, self.message = field, message


@transaction.atomic
def put_pin(
    kind: str,
    job: Job,
    *,
    by: Person,
    now: dt.datetime,
    operation: JobOperation | None = None,
    bay: Bay | None = None,
    person: Person | None = None,
    not_before: dt.date | None = None,
) -> Pin:
    """Put a pin; the same twice is once, another of its kind on the same takes its place.

    Raises:
        CannotPinError: what the pin needs is not given, or what it is put on is over.
    """
    lock_stream(PLAN_STREAM)
    _require(kind, job, operation, bay, person, not_before)
    if kind in {PinKind.BAY, PinKind.NEXT_UP}:
        operation = None
    same = Pin.objects.in_force().filter(kind=kind, job=job, job_operation=operation)
    for old in same:
        if (old.bay, old.person, old.not_before) == (bay, person, not_before):
            return old
        take_pin_away(old, by=by, now=now)
    made = Pin.objects.create(
        kind=kind,
        job=job,
        job_operation=operation,
        bay=bay,
        person=person,
        not_before=not_before,
        made_by=by,
        made_at=now,
    )
    _tell("plan.pinned", made, by, now)
    return made


@transaction.atomic
def take_pin_away(pin: Pin, *, by: Person, now: dt.datetime) -> None:
    """Take a pin away; doing it twice changes nothing."""
    lock_stream(PLAN_STREAM)
    if Pin.objects.filter(pk=pin.pk, ended_at=None).update(ended_at=now, ended_by=by):
        _tell("plan.pin_taken", pin, by, now)


def _require(
    kind: str,
    job: Job,
    operation: JobOperation | None,
    bay: Bay | None,
    person: Person | None,
    not_before: dt.date | None,
) -> None:
    if job.is_released:
        raise CannotPinError("job", _("Job %(number)d is released") % {"number": job.number})
    if kind == PinKind.BAY and bay is None:
        raise CannotPinError("bay", _("Choose the bay"))
    if kind == PinKind.PERSON and operation is None:
        raise CannotPinError("operation", _("Choose the operation"))
    if kind == PinKind.PERSON and person is None:
        raise CannotPinError("person", _("Choose who"))
    if kind == PinKind.NOT_BEFORE and not_before is None:
        raise CannotPinError("not_before", _("Choose the day"))
    if operation is not None and operation.state in DONE:
        words = {"code": operation.operation.code, "state": operation.get_state_display()}
        raise CannotPinError("operation", _("%(code)s is %(state)s") % words)


def _tell(kind: str, pin: Pin, by: Person, now: dt.datetime) -> None:
    data = {"by": by.pk, "pin": pin.pk, "pin_kind": pin.kind, "job": pin.job.number}
    append(stream=PLAN_STREAM, kind=kind, data=data, now=now)


def pin_words(pin: Pin) -> str:
    """The pin as a sentence."""
    code = pin.job_operation.operation.code if pin.job_operation else ""
    said = {"job": pin.job.number, "code": code, "bay": pin.bay, "person": pin.person}
    if pin.kind == PinKind.BAY:
        return _("job %(job)d goes into bay %(bay)s") % said
    if pin.kind == PinKind.PERSON:
        return _("%(person)s does %(code)s of job %(job)d") % said
    if pin.kind == PinKind.NEXT_UP:
        return _("job %(job)d is next up for a bay") % said
    said["day"] = day_words(pin.not_before) if pin.not_before else ""
    if code:
        return _("%(code)s of job %(job)d not before %(day)s") % said
    return _("job %(job)d not before %(day)s") % said


def pins_of() -> list[Pin]:
    """The pins in force, with all that is said of them, in one query."""
    rows = Pin.objects.in_force().select_related(
        "job__vehicle", "job_operation__operation", "bay", "person", "made_by"
    )
    return list(rows.order_by("job__number", "made_at"))


def clashing(found: Iterable[str], pins: Iterable[Pin]) -> list[Pin]:
    """The smallest set of pins that a search named as clashing; none when one of them is gone since."""
    by_id = {pin_id(pin.pk): pin for pin in pins}
    named = list(found)
    return [by_id[one] for one in named] if all(one in by_id for one in named) else []
