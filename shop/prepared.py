"""Queries whose SQL is worked out once a process and then only given its values.

To build a query and to compile it takes many times as long as the database takes to answer it. What is
asked with every entry or page is written as ever, with stand-ins for its values, and compiled on its first
use; its rows come back as the same models, with what was selected beside them.
"""

import datetime as dt
import uuid
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from django.core.exceptions import EmptyResultSet
from django.db import connections, models
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.models.expressions import Value
from django.db.models.query import ModelIterable, QuerySet, get_related_populators

Row = TypeVar("Row")
Converters = Sequence[tuple[int, Sequence[Callable[..., Any]], Any]]


class StandIn(Value):
    """Where a value goes that is known only when the query is asked."""

    def __init__(self, name: str, place: int = -1) -> None:
        super().__init__(f"{name}[{place}]")
        self.name, self.place = name, place

    def as_sql(self, compiler: Any, connection: Any) -> tuple[str, Any]:
        return "%s", [self]

    def value_in(self, values: dict[str, Any], connection: BaseDatabaseWrapper) -> Any:
        given = values[self.name]
        return _as_stored(given if self.place < 0 else given[self.place], connection)


@dataclass(frozen=True)
class Compiled(Generic[Row]):
    """A query's SQL, where its values go, and how a row of it is read."""

    alias: str
    sql: str
    params: tuple[Any, ...]
    converters: Converters
    made: Callable[[Sequence[Any]], Row]


class Prepared(Generic[Row]):
    """A query that is asked again and again.

    Args:
        build: makes the query out of stand-ins, one for each of its arguments by name. A list of values
            stands as a list of stand-ins, filled up by its last value to a length that is a power of two.
            None equals nothing, as in SQL.
    """

    def __init__(self, build: Callable[..., QuerySet[Any, Row]]) -> None:
        self._build = build
        self._compiled: dict[tuple[tuple[str, int], ...], Compiled[Row]] = {}

    def all(self, **values: Any) -> list[Row]:
        """Its rows, in one query."""
        given = {name: _filled_up(value) for name, value in values.items()}
        try:
            return self._asked(given)
        except EmptyResultSet:  # one of no values
            return []

    def _asked(self, given: dict[str, Any]) -> list[Row]:
        lengths = tuple((name, len(value)) for name, value in given.items() if isinstance(value, list))
        compiled = self._compiled.get(lengths)
        if compiled is None:
            compiled = self._compiled[lengths] = _compile(self._build(**_stand_ins(given)))
        connection = connections[compiled.alias]
        params = [p.value_in(given, connection) if isinstance(p, StandIn) else p for p in compiled.params]
        with connection.cursor() as cursor:
            cursor.execute(compiled.sql, params)
            rows = cursor.fetchall()
        return [compiled.made(row) for row in _converted(rows, compiled.converters, connection)]

    def first(self, **values: Any) -> Row | None:
        """Its first row; None where there is none."""
        found = self.all(**values)
        return found[0] if found else None


def keep_related(row: models.Model, name: str, rows: Sequence[models.Model]) -> None:
    """Let `row.name.all()` give rows that were read already, as if they had been prefetched."""
    related = getattr(row, name).model._base_manager.all()
    related._result_cache, related._prefetch_done = list(rows), True
    row.__dict__.setdefault("_prefetched_objects_cache", {})[name] = related


def _as_stored(value: Any, connection: BaseDatabaseWrapper) -> Any:
    if isinstance(value, uuid.UUID) and not connection.features.has_native_uuid_field:
        return value.hex
    if isinstance(value, dt.datetime):
        return connection.ops.adapt_datetimefield_value(value)
    return value.pk if isinstance(value, models.Model) else value


def _filled_up(value: Any) -> Any:
    """A list of a length for which few queries are compiled; a value that stands twice asks for no more."""
    if isinstance(value, str | bytes | models.Model) or not isinstance(value, Iterable):
        return value
    found = list(value)
    return found + found[-1:] * ((1 << max(len(found) - 1, 0).bit_length()) - len(found))


def _stand_ins(given: dict[str, Any]) -> dict[str, Any]:
    return {
        name: [StandIn(name, place) for place in range(len(value))]
        if isinstance(value, list)
        else StandIn(name)
        for name, value in given.items()
    }


def _compile(query: QuerySet[Any, Row]) -> Compiled[Row]:
    compiler = query.query.get_compiler(using=query.db)
    sql, params = compiler.as_sql()
    select = compiler.select
    assert select is not None
    converters = compiler.get_converters([column[0] for column in select])
    flat = [(place, *of_column) for place, of_column in converters.items()]
    return Compiled(query.db, sql, tuple(params), flat, _maker(query, compiler))


def _maker(query: QuerySet[Any, Row], compiler: Any) -> Callable[[Sequence[Any]], Row]:
    """How a row becomes what the query would give: a model with those selected beside it, or a tuple."""
    if not issubclass(query._iterable_class, ModelIterable):
        return tuple  # type: ignore[return-value]
    info, select, db = compiler.klass_info, compiler.select, query.db
    begin, end = info["select_fields"][0], info["select_fields"][-1] + 1
    names = [column[0].target.attname for column in select[begin:end]]
    beside = get_related_populators(info, select, db)  # type: ignore[call-arg]

    def make(row: Sequence[Any]) -> Row:
        made = info["model"].from_db(db, names, row[begin:end])
        for populator in beside:
            populator.populate(row, made)
        return made  # type: ignore[no-any-return]

    return make


def _converted(
    rows: Sequence[Sequence[Any]], converters: Converters, connection: BaseDatabaseWrapper
) -> Iterator[Sequence[Any]]:
    for row in rows:
        values = list(row)
        for place, each, column in converters:
            for convert in each:
                values[place] = convert(values[place], column, connection)
        yield values
