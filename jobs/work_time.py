"""What stands beside the evidence at an operation: time worked, notes, lots, as pages show it."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from django.db.models import Max
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from jobs.models import BookedTime, EndedBy, LotUse, TimeCorrection, WorkNote
from jobs.record import OperationStanding
from shop.models import Person
from shop.prepared import Prepared, keep_related

# What a pause is for, in one touch.
PAUSES = (
    gettext_noop("Break"),
    gettext_noop("Waiting for parts"),
    gettext_noop("Waiting for a witness"),
    gettext_noop("Other car"),
    gettext_noop("End of shift"),
)

NOTES = Prepared(lambda row: WorkNote.objects.filter(job_operation=row).select_related("person"))
LOTS = Prepared(lambda row: LotUse.objects.filter(job_operation=row).select_related("person"))
LAST_LOTS = Prepared(
    lambda names: LotUse.objects.filter(
        pk__in=LotUse.objects.filter(what__in=names)
        .order_by()
        .values("what")
        .annotate(newest=Max("pk"))
        .values("newest")
    ).values_list("what", "lot")
)
BOOKED = Prepared(lambda rows: BookedTime.objects.filter(job_operation__pk__in=rows).select_related("person"))
CORRECTIONS = Prepared(
    lambda rows: TimeCorrection.objects.filter(booked__job_operation__pk__in=rows).select_related("person")
)


def hours_and_minutes(minutes: int) -> str:
    """As a person says it: 1 h 15 min."""
    hours, rest = divmod(minutes, 60)
    if not hours:
        return _("%(minutes)d min") % {"minutes": rest}
    return _("%(hours)d h %(minutes)02d min") % {"hours": hours, "minutes": rest}


@dataclass(frozen=True)
class Booking:
    """A piece of booked time with what a lead set right about it; the newest correction counts."""

    row: BookedTime
    corrections: tuple[TimeCorrection, ...]
    now: dt.datetime

    @property
    def began_at(self) -> dt.datetime:
        return self.corrections[-1].began_at if self.corrections else self.row.began_at

    @property
    def ended_at(self) -> dt.datetime | None:
        return self.corrections[-1].ended_at if self.corrections else self.row.ended_at

    @property
    def is_running(self) -> bool:
        return self.ended_at is None

    @property
    def worked(self) -> dt.timedelta:
        return max((self.ended_at or self.now) - self.began_at, dt.timedelta())

    @property
    def words(self) -> str:
        return hours_and_minutes(int(self.worked.total_seconds() // 60))

    @property
    def why(self) -> str:
        """What it ended with."""
        return self.row.reason or str(EndedBy(self.row.ended_by).label)


@dataclass(frozen=True)
class WorkedTime:
    """The time worked on one operation, beside its standard time."""

    bookings: tuple[Booking, ...]
    standard_minutes: int

    @cached_property
    def minutes(self) -> int:
        return int(sum((b.worked for b in self.bookings), dt.timedelta()).total_seconds() // 60)

    @property
    def words(self) -> str:
        return hours_and_minutes(self.minutes)

    @property
    def standard_words(self) -> str:
        return hours_and_minutes(self.standard_minutes)

    @property
    def is_over(self) -> bool:
        return self.minutes > self.standard_minutes

    @property
    def over_words(self) -> str:
        return hours_and_minutes(max(self.minutes - self.standard_minutes, 0))

    @property
    def at_work(self) -> tuple[Booking, ...]:
        return tuple(b for b in self.bookings if b.is_running)

    def is_at_work(self, person: Person) -> bool:
        return any(b.row.person_id == person.pk for b in self.at_work)

    def last_at(self, person: Person) -> dt.datetime | None:
        """When somebody last began here."""
        return max((b.row.began_at for b in self.bookings if b.row.person_id == person.pk), default=None)


@dataclass(frozen=True)
class Consumable:
    """Something used up at an operation: the lots recorded here, and the one used last anywhere."""

    what: str
    lots: tuple[LotUse, ...]
    last: str


@dataclass(frozen=True)
class OperationWork:
    """Everything of one operation that is no evidence."""

    time: WorkedTime
    notes: tuple[WorkNote, ...]
    lots: tuple[LotUse, ...]
    consumables: tuple[Consumable, ...]

    @property
    def other_lots(self) -> tuple[LotUse, ...]:
        """Lots of what the procedure does not name."""
        named = {c.what for c in self.consumables}
        return tuple(row for row in self.lots if row.what not in named)

    def told_to(self, person: Person) -> tuple[WorkNote, ...]:
        """What was handed over since somebody last worked here, by others."""
        return unread_hand_overs(self.notes, self.time, person)


def unread_hand_overs(notes: Iterable[WorkNote], time: WorkedTime, person: Person) -> tuple[WorkNote, ...]:
    """Of an operation's notes those of others to the next shift, since somebody last worked there."""
    since = time.last_at(person)
    return tuple(
        n
        for n in notes
        if n.is_hand_over and n.person_id != person.pk and (since is None or n.written_at > since)
    )


def work_of(operation: OperationStanding, *, now: dt.datetime) -> OperationWork:
    """What was booked, noted and used at one operation, in five queries at most."""
    row = operation.job_operation
    lots = tuple(LOTS.all(row=row))
    return OperationWork(
        time=worked_times([operation], now=now)[row.pk],
        notes=tuple(NOTES.all(row=row)),
        lots=lots,
        consumables=_consumables(operation.operation.consumables, lots),
    )


def worked_times(operations: Iterable[OperationStanding], *, now: dt.datetime) -> dict[int, WorkedTime]:
    """The time worked on operations by the key of each, in two queries."""
    of = list(operations)
    found: dict[int, list[Booking]] = {o.job_operation.pk: [] for o in of}
    corrections: dict[int, list[TimeCorrection]] = defaultdict(list)
    for correction in CORRECTIONS.all(rows=found):
        corrections[correction.booked_id].append(correction)
    for row in BOOKED.all(rows=found):
        keep_related(row, "corrections", corrections[row.pk])
        found[row.job_operation_id].append(Booking(row, tuple(corrections[row.pk]), now))
    minutes = {o.job_operation.pk: o.operation.standard_minutes for o in of}
    return {key: WorkedTime(tuple(bookings), minutes[key]) for key, bookings in found.items()}


def _consumables(names: list[str], lots: tuple[LotUse, ...]) -> tuple[Consumable, ...]:
    if not names:
        return ()
    last = dict(LAST_LOTS.all(names=names))
    return tuple(
        Consumable(name, tuple(row for row in lots if row.what == name), last.get(name, "")) for name in names
    )
