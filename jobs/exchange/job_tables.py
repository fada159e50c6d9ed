"""Jobs in work, kits and packing slips as tables. What is there already never changes by a file."""

import datetime as dt
import itertools
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from django.db import transaction
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.exchange.files import Cells, Columns, csv_of
from jobs.exchange.shop_tables import customer_of
from jobs.exchange.tables import News, RowRefused, Taken, each_once
from jobs.models import Job, ProcedureRevision
from jobs.opening import Booking, CannotOpenError, open_job
from parts import kit_sheet, slip_sheet
from parts.kit_files import KitNews, bring_in, kit_file
from parts.models import KitOrder, KitRevision, PackingSlip
from parts.slip_files import bring_in_slip, slip_file
from shop.csv_files import Row, read_sheet
from shop.file_errors import FileError, FileErrors
from shop.models import Bay, Person, Vehicle

WHAT_OF_JOB = ("procedure", "revision", "kit_order", "bay", "promised_on", "odometer", "wishes")


class Jobs:
    """Cars in work. A job of an unknown number is opened; one that is known is changed on its page alone."""

    columns = Columns("jobs", ("number", "customer", "serial", *WHAT_OF_JOB), long=frozenset({"wishes"}))
    title = gettext_lazy("Jobs in work")

    def rows(self) -> Iterable[Cells]:
        return map(self._cells, Job.objects.with_car().on_the_floor().order_by("number"))

    def take(self, rows: Sequence[Row], *, by: Person, now: dt.datetime) -> Iterator[Taken | FileError]:
        return each_once(rows, lambda cells: cells["number"], partial(self._take, by=by, now=now))

    def _take(self, row: Row, *, by: Person, now: dt.datetime) -> Taken:
        cells = row.cells
        if not (cells["number"].isascii() and cells["number"].isdecimal() and len(cells["number"]) < 10):
            raise RowRefused({"number": _("A job has a whole number.")})
        number = int(cells["number"])
        known = Job.objects.with_car().filter(number=number).first()
        about = _("job %(number)d") % {"number": number}
        if known is None:
            self._open(cells, number, by=by, now=now)
            return Taken(row.line, about, News.NEW)
        there = self._cells(known)
        wrong = {
            n: _("Job %(number)d is here with “%(there)s”; change it on its page.")
            for n in there
            if there[n] != cells[n]
        }
        if wrong:
            raise RowRefused({n: m % {"number": number, "there": there[n]} for n, m in wrong.items()})
        return Taken(row.line, about, News.SAME)

    def _open(self, cells: Cells, number: int, *, by: Person, now: dt.datetime) -> Job:
        customer = customer_of(cells["customer"])
        vehicle = Vehicle.objects.filter(customer=customer, serial=cells["serial"], merged_into=None).first()
        revision = ProcedureRevision.objects.filter(
            procedure__code=cells["procedure"], revision=cells["revision"]
        ).first()
        order = KitOrder.objects.filter(number=cells["kit_order"]).first()
        bay = (
            Bay.objects.filter(number=cells["bay"], is_open=True).first()
            if cells["bay"].isdecimal()
            else None
        )
        found = {"serial": vehicle, "revision": revision, "kit_order": order}
        missing = {name: _("This is not known here.") for name, row in found.items() if row is None}
        if cells["bay"] and bay is None:
            missing["bay"] = _("There is no open bay of that number.")
        if len(cells["odometer"]) > 20:
            missing["odometer"] = _("At most 20 characters.")
        promised = _day(cells["promised_on"], missing)
        if missing or vehicle is None or revision is None or order is None:
            raise RowRefused(missing)
        booking = Booking(
            customer, vehicle, revision, order, promised, bay, cells["odometer"], cells["wishes"]
        )
        try:
            return open_job(booking, by=by, now=now, number=number)
        except CannotOpenError as refused:
            column = {"procedure_revision": "revision"}.get(refused.field, refused.field)
            raise RowRefused({column: refused.message}) from refused

    def _cells(self, job: Job) -> Cells:
        return {
            "number": str(job.number),
            "customer": str(job.customer.reference),
            "serial": job.vehicle.serial,
            "procedure": job.procedure_revision.procedure.code,
            "revision": job.procedure_revision.revision,
            "kit_order": job.kit_order.number,
            "bay": str(job.bay.number) if job.bay else "",
            "promised_on": job.promised_on.isoformat() if job.promised_on else "",
            "odometer": job.odometer,
            "wishes": job.wishes.replace("\r\n", "\n").strip(),
        }


def _day(text: str, wrong: dict[str, str]) -> dt.date | None:
    try:
        return dt.date.fromisoformat(text) if text else None
    except ValueError:
        wrong["promised_on"] = _("Write the day as year-month-day, such as 2026-03-31.")
        return None


@dataclass(frozen=True)
class Lists:
    """Whole lists that have files of their own, such as kits: several of them one below the other."""

    columns: Columns
    title: str | Promise
    key: tuple[str, str]
    files: Callable[[], Iterable[bytes]]
    bring_in: Callable[..., News]

    def rows(self) -> Iterable[Cells]:
        for content in self.files():
            yield from (row.cells for row in read_sheet(content, self.columns.names).rows)

    def take(self, rows: Sequence[Row], *, by: Person, now: dt.datetime) -> Iterator[Taken | FileError]:
        def of(row: Row) -> tuple[str, ...]:
            return tuple(row.cells[name] for name in self.key)

        for key, group in itertools.groupby(rows, key=of):
            own = list(group)
            content = csv_of(self.columns.names, (row.cells for row in own))
            try:
                with transaction.atomic():
                    news = self.bring_in(content, by=by, now=now)
            except FileErrors as refused:
                yield from (_on_its_line(error, own) for error in refused.errors)
                continue
            yield Taken(own[0].line, " ".join(key), news)


def _on_its_line(error: FileError, rows: Sequence[Row]) -> FileError:
    """An error of a list by the line of the whole file: the list's own begins with its header."""
    place = (error.line or 2) - 2
    return replace(error, line=rows[min(max(place, 0), len(rows) - 1)].line)


def _kits() -> Iterator[bytes]:
    return (kit_file(revision) for revision in KitRevision.objects.order_by("kit__code", "revision"))


def _bring_in_kit(content: bytes, *, by: Person, now: dt.datetime) -> News:
    brought = bring_in(content, by=by, now=now, release=False)
    return {KitNews.NEW: News.NEW, KitNews.CHANGED: News.CHANGED}.get(brought.news, News.SAME)


def _slips() -> Iterator[bytes]:
    return (slip_file(slip) for slip in PackingSlip.objects.select_related("order").order_by("order", "pk"))


def _bring_in_slip(content: bytes, *, by: Person, now: dt.datetime) -> News:
    sheet = slip_sheet.read_slip(content, today=None)
    known = PackingSlip.objects.filter(order__number=sheet.order, number=sheet.slip).first()
    if known is not None and slip_sheet.slip_sheet(known) == sheet:
        return News.SAME
    bring_in_slip(content, by=by, now=now)
    return News.NEW


KITS = Lists(
    Columns("kits", kit_sheet.COLUMNS), gettext_lazy("Kits"), ("kit", "revision"), _kits, _bring_in_kit
)
SLIPS = Lists(
    Columns("slips", slip_sheet.COLUMNS),
    gettext_lazy("Packing slips"),
    ("order", "slip"),
    _slips,
    _bring_in_slip,
)
Tables = Mapping[str, Any]
