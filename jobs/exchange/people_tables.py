"""People, their certificates and absences, bays and when they are closed. No secret goes out or in."""

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.exchange.files import Cells, Columns
from jobs.exchange.own_columns import OwnForm, own_words
from jobs.exchange.tables import (
    RowRefused,
    Taken,
    compared,
    each_once,
    errors_of,
    is_yes,
    saved,
    text_of,
    yes_no,
)
from shop.csv_files import Row
from shop.file_errors import FileError
from shop.keeping import keep
from shop.models import Absence, Bay, BayClosure, Certificate, Person
from shop.people import PersonRefused, activate, add_person, change_person, deactivate
from shop.people_forms import AbsenceForm, CertificateForm, PersonAddForm, PersonForm
from shop.settings_forms import BayForm, ClosureForm


class People:
    """People by sign-in name. Passwords and PINs are set in private, never by a file."""

    own = ("units", "fractions", "hours")
    columns = Columns("people", ("username", "full_name", "role", "active", *own), later=frozenset(own))
    title = gettext_lazy("People")

    def rows(self) -> Iterable[Cells]:
        return map(self._cells, Person.objects.order_by("username"))

    def take(self, rows: Sequence[Row], *, by: Person, now: dt.datetime) -> Iterator[Taken | FileError]:
        return each_once(
            rows, lambda cells: cells["username"].casefold(), partial(self._take, by=by, now=now)
        )

    def _take(self, row: Row, *, by: Person, now: dt.datetime) -> Taken:
        cells = row.cells
        active = is_yes(cells, "active", empty=True)
        known = Person.objects.filter(username=cells["username"]).first()
        before = self._cells(known) if known else None
        form = PersonForm(cells, instance=known) if known else PersonAddForm(cells)
        if not form.is_valid():
            raise RowRefused(errors_of(form))
        given = form.cleaned_data
        try:
            person = (
                Person.objects.get(pk=known.pk)
                if known
                else add_person(form.save(commit=False), by=by, now=now)
            )
            change_person(person, full_name=given["full_name"], role=given["role"], by=by, now=now)
            self._keep_own(person, cells, by=by, now=now)
            (activate if active else deactivate)(person, by=by, now=now)
        except PersonRefused as refused:
            raise RowRefused({refused.field: refused.message}) from refused
        after = self._cells(Person.objects.get(pk=person.pk))
        news, differs = compared(before, after)
        return Taken(row.line, after["full_name"], news, differs)

    def _keep_own(self, person: Person, cells: Cells, *, by: Person, now: dt.datetime) -> None:
        """What is somebody's own, where the file says anything of it."""
        form = OwnForm({name: cells.get(name, own_words(person)[name]) for name in self.own}, instance=person)
        if not form.is_valid():
            raise RowRefused(errors_of(form))
        if form.changed_data:
            keep(form.save(commit=False), changed=form.changed_data, added=False, by=by, now=now)

    def _cells(self, row: Person) -> Cells:
        return {
            "username": row.username,
            "full_name": row.full_name,
            "role": row.role,
            "active": yes_no(row.is_active),
            **own_words(row),
        }


class Certificates:
    """Certificates by person, skill, number and first day: a renewal from another day is another row."""

    key = ("person", "skill", "number", "valid_from")
    columns = Columns("certificates", (*key, "valid_until"))
    title = gettext_lazy("Certificates")

    def rows(self) -> Iterable[Cells]:
        found = Certificate.objects.select_related("person")
        return map(self._cells, found.order_by("person__username", "skill", "valid_from", "pk"))

    def take(self, rows: Sequence[Row], *, by: Person, now: dt.datetime) -> Iterator[Taken | FileError]:
        return each_once(rows, partial(_key, self.key), partial(self._take, by=by, now=now))

    def _take(self, row: Row, *, by: Person, now: dt.datetime) -> Taken:
        person = person_of(row.cells["person"])
        form = CertificateForm(row.cells, instance=Certificate(person=person))
        known = None
        if form.is_valid():
            given = {name: form.cleaned_data[name] for name in self.key[1:]}
            known = person.certificates.filter(**given).first()
        before = self._cells(known) if known else None
        form = CertificateForm(row.cells, instance=known or Certificate(person=person))
        about = f"{person} {row.cells['skill']} {row.cells['number']}"
        return saved(form, row, about, cells_of=self._cells, by=by, now=now, before=before)

    def _cells(self, row: Certificate) -> Cells:
        plain = {name: text_of(row, name) for name in self.columns.names[1:]}
        return {"person": row.person.username, **plain}


class Absences:
    """When people are away, by person, first and last day."""

    key = ("person", "first_day", "last_day")
    columns = Columns("absences", (*key, "note"))
    title = gettext_lazy("Absences")

    def rows(self) -> Iterable[Cells]:
        found = Absence.objects.select_related("person")
        return map(self._cells, found.order_by("person__username", "first_day", "pk"))

    def take(self, rows: Sequence[Row], *, by: Person, now: dt.datetime) -> Iterator[Taken | FileError]:
        return each_once(rows, partial(_key, self.key), partial(self._take, by=by, now=now))

    def _take(self, row: Row, *, by: Person, now: dt.datetime) -> Taken:
        person = person_of(row.cells["person"])
        known = _known(AbsenceForm(row.cells, instance=Absence(person=person)), person.absences)
        before = self._cells(known) if known else None
        form = AbsenceForm(row.cells, instance=known or Absence(person=person))
        about = f"{person} {row.cells['first_day']}"
        return saved(form, row, about, cells_of=self._cells, by=by, now=now, before=before)

    def _cells(self, row: Absence) -> Cells:
        plain = {name: text_of(row, name) for name in self.columns.names[1:]}
        return {"person": row.person.username, **plain}


class Bays:
    """Bays by number, with what each has."""

    columns = Columns("bays", ("number", "name", "features", "open"))
    title = gettext_lazy("Bays")

    def rows(self) -> Iterable[Cells]:
        return map(self._cells, Bay.objects.order_by("number"))

    def take(self, rows: Sequence[Row], *, by: Person, now: dt.datetime) -> Iterator[Taken | FileError]:
        return each_once(rows, partial(_key, ("number",)), partial(self._take, by=by, now=now))

    def _take(self, row: Row, *, by: Person, now: dt.datetime) -> Taken:
        known = _bay(row.cells["number"])
        before = self._cells(known) if known else None
        given = {**row.cells, "is_open": is_yes(row.cells, "open", empty=True)}
        form = BayForm(given, instance=known)
        about = f"{row.cells['number']} {row.cells['name']}"
        return saved(form, row, about, cells_of=self._cells, by=by, now=now, before=before)

    def _cells(self, row: Bay) -> Cells:
        plain = {"number": str(row.number), "name": row.name}
        return {**plain, "features": ", ".join(row.features), "open": yes_no(row.is_open)}


class Closures:
    """When a bay is closed, by bay, first and last day."""

    key = ("bay", "first_day", "last_day")
    columns = Columns("closures", (*key, "reason"))
    title = gettext_lazy("Bays closed")

    def rows(self) -> Iterable[Cells]:
        found = BayClosure.objects.select_related("bay")
        return map(self._cells, found.order_by("bay__number", "first_day", "pk"))

    def take(self, rows: Sequence[Row], *, by: Person, now: dt.datetime) -> Iterator[Taken | FileError]:
        return each_once(rows, partial(_key, self.key), partial(self._take, by=by, now=now))

    def _take(self, row: Row, *, by: Person, now: dt.datetime) -> Taken:
        bay = _bay(row.cells["bay"])
        if bay is None:
            raise RowRefused({"bay": _("There is no bay of that number here.")})
        known = _known(ClosureForm(row.cells, instance=BayClosure(bay=bay)), bay.closures)
        before = self._cells(known) if known else None
        form = ClosureForm(row.cells, instance=known or BayClosure(bay=bay))
        about = f"{bay} {row.cells['first_day']}"
        return saved(form, row, about, cells_of=self._cells, by=by, now=now, before=before)

    def _cells(self, row: BayClosure) -> Cells:
        plain = {name: text_of(row, name) for name in self.columns.names[1:]}
        return {"bay": str(row.bay.number), **plain}


def person_of(username: str) -> Person:
    """Somebody by sign-in name.

    Raises:
        RowRefused: nobody has it.
    """
    found = Person.objects.filter(username=username).first()
    if found is None:
        raise RowRefused({"person": _("Nobody has this sign-in name here.")})
    return found


def _known(form: Any, rows: Any) -> Any:
    """The row of the same days, where the days can be read."""
    if not form.is_valid():
        return None
    days = {name: form.cleaned_data[name] for name in ("first_day", "last_day")}
    return rows.filter(**days).first()


def _bay(number: str) -> Bay | None:
    is_number = number.isascii() and number.isdecimal() and len(number) < 10
    return Bay.objects.filter(number=int(number)).first() if is_number else None


def _key(names: tuple[str, ...], cells: Cells) -> object:
    return tuple(cells[name].casefold() for name in names)
