"""Rows written with SQL that is worked out once a process, for what every entry writes.

The same as saving the model: each field prepares its own value. For models without parents, whose saving
does nothing beside.
"""

from collections.abc import Sequence
from functools import cache
from typing import Any

from django.db import connections, models, router


def insert(row: models.Model) -> None:
    """Write a new row; a key that the database gives is set on it."""
    model = type(row)
    alias = router.db_for_write(model, instance=row)
    connection, fields = connections[alias], _written(model, with_key=row.pk is not None)
    values = [field.get_db_prep_save(field.pre_save(row, True), connection) for field in fields]
    with connection.cursor() as cursor:
        cursor.execute(_insert_sql(model, len(fields)), values)
        if row.pk is None:
            row.pk = cursor.lastrowid
    row._state.adding, row._state.db = False, alias


def update(row: models.Model, *names: str) -> None:
    """Write the fields of that name of a row that is there.

    Raises:
        LookupError: it is not there.
    """
    model = type(row)
    connection = connections[router.db_for_write(model, instance=row)]
    fields = [model._meta.get_field(name) for name in names]
    values = [field.get_db_prep_save(field.pre_save(row, False), connection) for field in fields]  # type: ignore[union-attr]
    key = model._meta.pk.get_db_prep_save(row.pk, connection)
    with connection.cursor() as cursor:
        cursor.execute(_update_sql(model, names), [*values, key])
        if cursor.rowcount != 1:
            raise LookupError(f"{row._meta.label_lower}:{row.pk} is not there to be changed")


@cache
def _written(model: type[models.Model], *, with_key: bool) -> Sequence[Any]:
    fields = model._meta.local_concrete_fields
    return [field for field in fields if with_key or not field.primary_key]


@cache
def _insert_sql(model: type[models.Model], count: int) -> str:
    fields = _written(model, with_key=count == len(model._meta.local_concrete_fields))
    columns = ", ".join(f'"{field.column}"' for field in fields)
    places = ", ".join(["%s"] * count)
    return f'INSERT INTO "{model._meta.db_table}" ({columns}) VALUES ({places})'  # noqa: S608 - our own names


@cache
def _update_sql(model: type[models.Model], names: tuple[str, ...]) -> str:
    columns = [model._meta.get_field(name).column for name in names]  # type: ignore[union-attr]
    changes = ", ".join(f'"{column}" = %s' for column in columns)
    table, key = model._meta.db_table, model._meta.pk.column
    return f'UPDATE "{table}" SET {changes} WHERE "{key}" = %s'  # noqa: S608 - our own names
