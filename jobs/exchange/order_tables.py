"""Kit orders and procedures as tables. What is here already never changes by a file."""

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from functools import partial

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.exchange.files import Cells, Columns
from jobs.exchange.tables import News, RowRefused, Taken, each_once
from jobs.models import ProcedureRevision
from jobs.procedures.bringing_in import ProcedureNews, bring_in_procedure, export_procedure
from parts.forms.orders import OrderForm
from parts.models import KitOrder, KitRevision
from parts.ordering import OrderError, open_order
from shop.csv_files import Row
from shop.file_errors import FileError, FileErrors
from shop.models import Person

PROCEDURE_NEWS = {ProcedureNews.NEW: News.NEW, ProcedureNews.NOTHING: News.SAME}


class Orders:
    """Kit orders by number. An unknown one is opened; a known one is changed on its page alone."""

    columns = Columns("orders", ("number", "kit", "revision", "ordered_on", "expected_on"))
    title = gettext_lazy("Kit orders")

    def rows(self) -> Iterable[Cells]:
        return map(self._cells, KitOrder.objects.with_kit().order_by("number"))

    def take(self, rows: Sequence[Row], *, by: Person, now: dt.datetime) -> Iterator[Taken | FileError]:
        return each_once(rows, lambda cells: cells["number"].casefold(), partial(self._take, by=by, now=now))

    def _take(self, row: Row, *, by: Person, now: dt.datetime) -> Taken:
        cells = row.cells
        known = KitOrder.objects.with_kit().filter(number=cells["number"]).first()
        if known is None:
            self._open(cells, by=by, now=now)
            return Taken(row.line, cells["number"], News.NEW)
        there = self._cells(known)
        message = _("Kit order %(number)s is here with “%(there)s”; change it on its page.")
        wrong = {
            name: message % {"number": known.number, "there": text}
            for name, text in there.items()
            if text != cells[name]
        }
        if wrong:
            raise RowRefused(wrong)
        return Taken(row.line, known.number, News.SAME)

    def _open(self, cells: Cells, *, by: Person, now: dt.datetime) -> None:
        revision = KitRevision.objects.filter(kit__code=cells["kit"], revision=cells["revision"]).first()
        if revision is None:
            raise RowRefused({"revision": _("This kit and revision are not known here.")})
        form = OrderForm({**cells, "kit_revision": revision.pk})
        if not form.is_valid():
            columns = {"kit_revision": "revision"}
            raise RowRefused({columns.get(n, n): str(told[0]) for n, told in form.errors.items()})
        given = form.cleaned_data
        try:
            open_order(
                number=given["number"],
                kit_revision=revision,
                ordered_on=given["ordered_on"],
                expected_on=given["expected_on"],
                by=by,
                now=now,
            )
        except OrderError as refused:
            raise RowRefused({refused.field: refused.message}) from refused

    def _cells(self, row: KitOrder) -> Cells:
        return {
            "number": row.number,
            "kit": row.kit_revision.kit.code,
            "revision": row.kit_revision.revision,
            "ordered_on": row.ordered_on.isoformat(),
            "expected_on": row.expected_on.isoformat() if row.expected_on else "",
        }


class Procedures:
    """Every revision with its whole file in one cell. What comes in is a draft: somebody releases it."""

    columns = Columns("procedures", ("procedure", "revision", "file"), long=frozenset({"file"}))
    title = gettext_lazy("Procedures")

    def rows(self) -> Iterable[Cells]:
        found = ProcedureRevision.objects.filter(for_job=None).select_related("procedure")
        return map(self._cells, found.order_by("procedure__code", "pk"))

    def take(self, rows: Sequence[Row], *, by: Person, now: dt.datetime) -> Iterator[Taken | FileError]:
        return each_once(
            rows, lambda cells: (cells["procedure"], cells["revision"]), partial(self._take, by=by, now=now)
        )

    def _take(self, row: Row, *, by: Person, now: dt.datetime) -> Taken:
        cells = row.cells
        try:
            brought = bring_in_procedure(cells["file"].encode(), by=by, now=now, release=False)
        except FileErrors as refused:
            first, more = refused.errors[0], len(refused.errors) - 1
            told = _("In its file, %(error)s") % {"error": first}
            told += _(" (and %(more)d more)") % {"more": more} if more else ""
            raise RowRefused({"file": told}) from refused
        revision = brought.revision
        named = {"procedure": revision.procedure.code, "revision": revision.revision}
        wrong = {
            name: _("The file is of “%(text)s”.") % {"text": text}
            for name, text in named.items()
            if text != cells[name]
        }
        if wrong:
            raise RowRefused(wrong)
        return Taken(row.line, str(revision), PROCEDURE_NEWS.get(brought.news, News.CHANGED))

    def _cells(self, row: ProcedureRevision) -> Cells:
        named = {"procedure": row.procedure.code, "revision": row.revision}
        return {**named, "file": export_procedure(row).strip()}
