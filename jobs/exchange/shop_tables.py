"""The shop's own tables: customers, vehicles, instruments, calibrations."""

import datetime as dt
import uuid
from collections.abc import Iterable, Iterator, Sequence
from functools import partial

from django.forms import modelform_factory
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.exchange.files import Cells, Columns
from jobs.exchange.tables import (
    News,
    RowRefused,
    Taken,
    each_once,
    errors_of,
    is_yes,
    saved,
    text_of,
    yes_no,
)
from shop.csv_files import Row
from shop.file_errors import FileError
from shop.instrument_forms import CalibrationForm, InstrumentForm
from shop.models import Calibration, Customer, Instrument, Person, Vehicle

CustomerForm = modelform_factory(Customer, fields=("name", "phone", "email"))
VehicleForm = modelform_factory(
    Vehicle, fields=("model_year", "description", "serial", "north_america", "plate")
)


class Customers:
    """Customers by their reference; one without a reference is new."""

    columns = Columns("customers", ("reference", "name", "phone", "email"))
    title = gettext_lazy("Customers")

    def rows(self) -> Iterable[Cells]:
        return map(self._cells, Customer.objects.filter(merged_into=None, erased_at=None).order_by("pk"))

    def take(self, rows: Sequence[Row], *, by: Person, now: dt.datetime) -> Iterator[Taken | FileError]:
        return each_once(
            rows,
            lambda cells: cells["reference"].lower() or (cells["name"], cells["phone"], cells["email"]),
            partial(self._take, by=by, now=now),
        )

    def _take(self, row: Row, *, by: Person, now: dt.datetime) -> Taken:
        known = self._known(row.cells)
        before = self._cells(known) if known.pk else None
        form = CustomerForm(row.cells, instance=known)
        return saved(form, row, row.cells["name"], cells_of=self._cells, by=by, now=now, before=before)

    def _known(self, cells: Cells) -> Customer:
        if not cells["reference"]:
            same = Customer.objects.filter(
                name=cells["name"], phone=cells["phone"], email=cells["email"], merged_into=None
            )
            return same.first() or Customer()
        try:
            reference = uuid.UUID(cells["reference"])
        except ValueError as error:
            message = _("This is no reference of ours; leave it empty for a new customer.")
            raise RowRefused({"reference": message}) from error
        found = Customer.objects.filter(reference=reference).first() or Customer(reference=reference)
        if found.merged_into_id or found.erased_at:
            raise RowRefused({"reference": _("This customer was merged or erased here.")})
        return found

    def _cells(self, row: Customer) -> Cells:
        return {"reference": str(row.reference), **{n: text_of(row, n) for n in ("name", "phone", "email")}}


class Vehicles:
    """Cars by their owner and serial."""

    columns = Columns(
        "vehicles", ("customer", "serial", "model_year", "description", "north_america", "plate")
    )
    title = gettext_lazy("Vehicles")

    def rows(self) -> Iterable[Cells]:
        found = Vehicle.objects.filter(merged_into=None, customer__merged_into=None, customer__erased_at=None)
        return map(self._cells, found.select_related("customer").order_by("pk"))

    def take(self, rows: Sequence[Row], *, by: Person, now: dt.datetime) -> Iterator[Taken | FileError]:
        return each_once(
            rows, lambda cells: (cells["customer"], cells["serial"]), partial(self._take, by=by, now=now)
        )

    def _take(self, row: Row, *, by: Person, now: dt.datetime) -> Taken:
        cells = row.cells
        customer = customer_of(cells["customer"])
        same = Vehicle.objects.filter(customer=customer, serial=cells["serial"], merged_into=None)
        known = same.select_related("customer").first() or Vehicle(customer=customer)
        before = self._cells(known) if known.pk else None
        given = {**cells, "north_america": is_yes(cells, "north_america", empty=True)}
        about = f"{cells['model_year']} {cells['description']}"
        form = VehicleForm(given, instance=known)
        return saved(form, row, about, cells_of=self._cells, by=by, now=now, before=before)

    def _cells(self, row: Vehicle) -> Cells:
        plain = ("serial", "model_year", "description", "plate")
        return {
            "customer": str(row.customer.reference),
            "north_america": yes_no(row.north_america),
            **{name: text_of(row, name) for name in plain},
        }


def customer_of(text: str) -> Customer:
    """A customer by reference, or by a name that only one has.

    Raises:
        RowRefused: there is none, or more than one.
    """
    try:
        found = list(Customer.objects.filter(reference=uuid.UUID(text), merged_into=None)[:2])
    except ValueError:
        found = list(Customer.objects.filter(name=text, merged_into=None, erased_at=None)[:2])
    if not text or len(found) != 1:
        message = _("There are several customers of that name; give the reference.")
        none = _("There is no such customer; give the reference or the whole name.")
        raise RowRefused({"customer": message if len(found) > 1 else none})
    return found[0]


class Instruments:
    """Instruments by code, their figures as the certificates write them."""

    plain = ("code", "name", "kind", "unit", "range_low", "range_high", "resolution", "permissible_error")
    columns = Columns("instruments", (*plain, "lever", "withdrawn"), later=frozenset({"lever"}))
    title = gettext_lazy("Instruments")

    def rows(self) -> Iterable[Cells]:
        return map(self._cells, Instrument.objects.order_by("code"))

    def take(self, rows: Sequence[Row], *, by: Person, now: dt.datetime) -> Iterator[Taken | FileError]:
        return each_once(rows, lambda cells: cells["code"], partial(self._take, by=by, now=now))

    def _take(self, row: Row, *, by: Person, now: dt.datetime) -> Taken:
        known = Instrument.objects.filter(code=row.cells["code"]).first()
        before = self._cells(known) if known else None
        lever = row.cells.get("lever", known.lever if known else "")
        given = {**row.cells, "lever": lever, "is_withdrawn": is_yes(row.cells, "withdrawn", empty=False)}
        form = InstrumentForm(given, instance=known)
        return saved(form, row, row.cells["code"], cells_of=self._cells, by=by, now=now, before=before)

    def _cells(self, row: Instrument) -> Cells:
        named = {name: text_of(row, name) for name in (*self.plain, "lever")}
        return {**named, "withdrawn": yes_no(row.is_withdrawn)}


class Calibrations:
    """Calibrations of instruments. One that is here never changes: another has another day or certificate."""

    plain = ("done_on", "due_on", "way", "certificate", "expanded_uncertainty")
    columns = Columns("calibrations", ("instrument", *plain, "passed"))
    title = gettext_lazy("Calibrations")

    def rows(self) -> Iterable[Cells]:
        found = Calibration.objects.select_related("instrument")
        return map(self._cells, found.order_by("instrument__code", "done_on", "pk"))

    def take(self, rows: Sequence[Row], *, by: Person, now: dt.datetime) -> Iterator[Taken | FileError]:
        def key(cells: Cells) -> object:
            return cells["instrument"], cells["done_on"], cells["certificate"]

        return each_once(rows, key, partial(self._take, by=by, now=now))

    def _take(self, row: Row, *, by: Person, now: dt.datetime) -> Taken:
        cells = row.cells
        instrument = Instrument.objects.filter(code=cells["instrument"]).first()
        if instrument is None:
            raise RowRefused({"instrument": _("There is no instrument of that code here.")})
        given = {**cells, "instrument": instrument.pk, "passed": is_yes(cells, "passed", empty=True)}
        form = CalibrationForm(given)
        if not form.is_valid():
            raise RowRefused(errors_of(form))
        found = form.save(commit=False)
        about = f"{instrument.code} {found.done_on}"
        same = instrument.calibrations.filter(done_on=found.done_on, certificate=found.certificate).first()
        if same is None:
            return saved(form, row, about, cells_of=self._cells, by=by, now=now, before=None)
        if self._cells(same) != self._cells(found):
            message = _(
                "This calibration is here with other figures; what was measured by it stands on them."
            )
            raise RowRefused({"certificate": message})
        return Taken(row.line, about, News.SAME)

    def _cells(self, row: Calibration) -> Cells:
        return {
            "instrument": row.instrument.code,
            **{name: text_of(row, name) for name in self.plain},
            "passed": yes_no(row.passed),
        }
