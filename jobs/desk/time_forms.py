"""Booked time at the desk: what there is at an operation, and setting it right by a lead."""

from dataclasses import dataclass

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from jobs.desk.forms import EntryForm, ReasonField
from jobs.record import JobRecord, OperationStanding
from jobs.work_time import Booking, OperationWork
from shop.models import Person

MOMENT = "%Y-%m-%d %H:%M"


class TimeCorrectionForm(EntryForm):
    kind = "time_correction"
    action = _("Set it right")
    p_booked = forms.CharField(widget=forms.HiddenInput)
    p_began = forms.CharField(label=_("From"), max_length=16, help_text=_("day and time by the shop's clock"))
    p_ended = forms.CharField(label=_("Until"), max_length=16)
    p_reason = ReasonField(label=_("Why it is set right"), help_text=_("What was booked stays beside it."))


@dataclass(frozen=True)
class BookedRow:
    """A piece of booked time, with the form that sets it right for those who may."""

    booking: Booking
    form: EntryForm | None


def booked_rows(
    record: JobRecord, operation: OperationStanding, work: OperationWork, *, viewer: Person
) -> tuple[BookedRow, ...]:
    may = viewer.is_lead and not record.job.is_released
    return tuple(
        BookedRow(b, _form(record, operation, b) if may and b.row.ended_at is not None else None)
        for b in work.time.bookings
    )


def _form(record: JobRecord, operation: OperationStanding, booking: Booking) -> EntryForm:
    key = str(booking.row.pk)
    initial = {"p_booked": key, "p_began": _moment(booking.began_at), "p_ended": _moment(booking.ended_at)}
    return TimeCorrectionForm(record, f"{operation.code}/time/{key}", initial=initial)


def _moment(at: object) -> str:
    return timezone.localtime(at).strftime(MOMENT) if at else ""  # type: ignore[arg-type]
