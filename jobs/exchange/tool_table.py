"""The shop's tools as a table."""

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from functools import partial

from django.utils.translation import gettext_lazy

from jobs.exchange.files import Cells, Columns
from jobs.exchange.tables import Taken, each_once, is_yes, saved, text_of, yes_no
from shop.csv_files import Row
from shop.file_errors import FileError
from shop.models import Person, Tool
from shop.tool_forms import ToolForm


class Tools:
    """Tools by code: drills, hole saws, machines with their speeds, extensions."""

    plain = ("code", "name", "kind", "size", "material", "speeds")
    columns = Columns("tools", (*plain, "withdrawn"))
    title = gettext_lazy("Tools")

    def rows(self) -> Iterable[Cells]:
        return map(self._cells, Tool.objects.order_by("code"))

    def take(self, rows: Sequence[Row], *, by: Person, now: dt.datetime) -> Iterator[Taken | FileError]:
        return each_once(rows, lambda cells: cells["code"], partial(self._take, by=by, now=now))

    def _take(self, row: Row, *, by: Person, now: dt.datetime) -> Taken:
        known = Tool.objects.filter(code=row.cells["code"]).first()
        before = self._cells(known) if known else None
        given = {**row.cells, "is_withdrawn": is_yes(row.cells, "withdrawn", empty=False)}
        form = ToolForm(given, instance=known)
        return saved(form, row, row.cells["code"], cells_of=self._cells, by=by, now=now, before=before)

    def _cells(self, row: Tool) -> Cells:
        return {**{n: text_of(row, n) for n in self.plain}, "withdrawn": yes_no(row.is_withdrawn)}
