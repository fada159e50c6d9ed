"""Taking a table in: every row checked, all that is wrong listed, nothing saved unless all of it is right.

The check before it is taken in is the taking itself, undone: so it says what would happen and nothing else.
"""

import datetime as dt
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Protocol

from django.db import models, transaction
from django.forms import ModelForm
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.exchange.files import Cells, Columns, read_rows
from shop.csv_files import Row
from shop.file_errors import FileError, FileErrors
from shop.keeping import keep
from shop.models import Person


class News(StrEnum):
    """What a row brings."""

    NEW = "new"
    CHANGED = "changed"
    SAME = "same"


NEWS_WORDS = {
    News.NEW: gettext_lazy("new"),
    News.CHANGED: gettext_lazy("changed"),
    News.SAME: gettext_lazy("as it is here already"),
}


@dataclass(frozen=True)
class Taken:
    """One row that was taken in: what it is about and what it brought; `differs` names changed columns."""

    line: int
    about: str
    news: News
    differs: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        return str(NEWS_WORDS[self.news])


class RowRefused(Exception):  # noqa: N818 - a row of a file, not a fault of the program
    """A row is wrong; all that is wrong with it, by column."""

    def __init__(self, errors: Mapping[str, str]) -> None:
        super().__init__(str(errors))
        self.errors = errors


class ExchangeTable(Protocol):
    """A table of the shop that can be taken out and in."""

    @property
    def columns(self) -> Columns: ...

    @property
    def title(self) -> str | Promise: ...

    def rows(self) -> Iterable[Cells]:
        """Every row, as its file holds it."""

    def take(self, rows: Sequence[Row], *, by: Person, now: dt.datetime) -> Iterator[Taken | FileError]:
        """Save each row, saying what it brought or what is wrong with it."""


def take_in(
    table: ExchangeTable, content: bytes, *, by: Person, now: dt.datetime, only_check: bool = False
) -> tuple[Taken, ...]:
    """Take a file in whole; with `only_check`, undo it at the end.

    Raises:
        FileErrors: with everything that is wrong; nothing was saved.
    """
    rows, shape = read_rows(table.columns, content)
    errors: list[FileError] = list(shape)
    taken: list[Taken] = []
    with transaction.atomic():
        for found in table.take(rows, by=by, now=now):
            (taken if isinstance(found, Taken) else errors).append(found)  # type: ignore[arg-type]
        if errors or only_check:
            transaction.set_rollback(True)
    if errors:
        raise FileErrors(sorted(errors, key=lambda error: error.line or 0))
    return tuple(taken)


def counted(taken: Iterable[Taken]) -> Counter[str]:
    return Counter(str(found.news) for found in taken)


def each_once(
    rows: Sequence[Row],
    key: Callable[[Cells], object],
    take_row: Callable[[Row], Taken],
) -> Iterator[Taken | FileError]:
    """Take rows one by one, each in a savepoint of its own; the same key twice is told."""
    seen: dict[object, int] = {}
    for row in rows:
        known = key(row.cells)
        if known in seen:
            yield FileError(row.line, "", _("This is already on line %(line)d.") % {"line": seen[known]})
            continue
        seen[known] = row.line
        try:
            with transaction.atomic():
                yield take_row(row)
        except RowRefused as refused:
            for name, message in refused.errors.items():
                yield FileError(row.line, name, message)


def saved(
    form: ModelForm[Any],
    row: Row,
    about: str,
    *,
    cells_of: Callable[[Any], Cells],
    by: Person,
    now: dt.datetime,
    before: Cells | None,
) -> Taken:
    """Save what a form holds, if it says anything new.

    Raises:
        RowRefused: it holds something wrong.
    """
    if not form.is_valid():
        raise RowRefused(errors_of(form))
    instance = form.save(commit=False)
    news, differs = compared(before, cells_of(instance))
    if news is not News.SAME:
        fields = [name for name in form.fields if not before or name in form.changed_data]
        keep(instance, changed=fields, added=before is None, by=by, now=now)
    return Taken(row.line, about, news, differs)


def compared(before: Cells | None, after: Cells) -> tuple[News, tuple[str, ...]]:
    if before is None:
        return News.NEW, ()
    differs = tuple(name for name, text in after.items() if before.get(name) != text)
    return (News.CHANGED if differs else News.SAME), differs


def errors_of(form: ModelForm[Any]) -> dict[str, str]:
    """The first message of each field; what belongs to none stands without a column."""
    return {"" if name == "__all__" else name: str(messages[0]) for name, messages in form.errors.items()}


def yes_no(value: bool) -> str:
    return "yes" if value else "no"


def is_yes(cells: Cells, name: str, *, empty: bool) -> bool:
    """A cell that says yes or no, in either case.

    Raises:
        RowRefused: it says something else.
    """
    text = cells[name].casefold()
    if not text:
        return empty
    if text not in {"yes", "no"}:
        raise RowRefused({name: _("Write yes or no.")})
    return text == "yes"


def text_of(row: models.Model, name: str) -> str:
    value = getattr(row, name)
    return "" if value is None else str(value)
