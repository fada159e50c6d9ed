"""What the short route has written by a place on it, kept by a test process and laid down anew for each test.

To take a car along its route costs a second; to lay its rows down, hundredths of one. A state is only
used where nothing else has been written since, which the database itself counts.
"""

import pickle
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from django.contrib.auth.models import Permission
from django.contrib.contenttypes.models import ContentType
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import connection, transaction

Rows = dict[str, list[tuple[Any, ...]]]
NUMBERED = "sqlite_sequence"
# What migrating leaves in a database before anything happens in it.
LEFT_BY_MIGRATING = {"django_migrations", ContentType._meta.db_table, Permission._meta.db_table, NUMBERED}
PHOTO = b"test"


@dataclass(frozen=True)
class State:
    """All rows at one place, what the route itself knows there, and the photos that its rows name."""

    rows: Rows
    known: bytes
    photos: tuple[str, ...]


@dataclass
class Way:
    """The states of one route, as far as a car has been along it."""

    begun: State
    reached: dict[str, State] = field(default_factory=dict)


_WAYS: dict[str, Way] = {}


def way_of(texts: str) -> Way | None:
    return _WAYS.get(texts)


def keep_way(texts: str, begun: State) -> Way:
    return _WAYS.setdefault(texts, Way(begun))


def changes() -> int:
    """How many rows were ever written through this connection; what was undone counts too."""
    connection.ensure_connection()
    return int(connection.connection.total_changes)


def is_untouched() -> bool:
    """Whether nothing has happened in the database yet."""
    asked = " OR ".join(f'EXISTS (SELECT 1 FROM "{table}")' for table in _tables())
    with connection.cursor() as cursor:
        return not cursor.execute(f"SELECT {asked}").fetchone()[0]


def take(known: object, photos: tuple[str, ...]) -> State:
    with connection.cursor() as cursor:
        tables = [*_tables(), NUMBERED]
        rows = {table: cursor.execute(f'SELECT * FROM "{table}"').fetchall() for table in tables}
    return State(rows, pickle.dumps(known), photos)


def lay_down(state: State, over: State | None = None) -> Any:
    """Write a state into an untouched database, or over another state; what the route knows there."""
    before: Rows = over.rows if over else {}
    with transaction.atomic():
        cursor = connection.connection.cursor()
        for table, rows in state.rows.items():
            if table == NUMBERED or rows != before.get(table, []):
                cursor.execute(f'DELETE FROM "{table}"')
                _insert(cursor.executemany, table, rows)
    for name in state.photos:
        _put_back(name)
    return pickle.loads(state.known)


def _put_back(name: str) -> None:
    """The photo under its own name, though another test has spoiled it or taken the name for its own."""
    if default_storage.exists(name):
        with default_storage.open(name) as kept:
            if kept.read() == PHOTO:
                return
        default_storage.delete(name)
    default_storage.save(name, ContentFile(PHOTO))


def _insert(executemany: Callable[..., object], table: str, rows: list[tuple[Any, ...]]) -> None:
    if rows:
        executemany(f'INSERT INTO "{table}" VALUES ({", ".join("?" * len(rows[0]))})', rows)


def _tables() -> list[str]:
    global _names
    if not _names:
        _names = [name for name in connection.introspection.table_names() if name not in LEFT_BY_MIGRATING]
    return _names


_names: list[str] = []
