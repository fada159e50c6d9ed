"""A shop that began with the first version keeps its work, and its record stays whole."""

import gzip
import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.db import connection

ROOT = Path(__file__).resolve().parents[1]
DUMP = ROOT / "tests" / "migrations" / "first_version.sql.gz"
# Kept in the store beside the database, of which the dump has none.
FILE_GONE = "its file was changed or is gone"


@pytest.fixture(scope="module")
def var(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a shop of the first version, taken along to this one."""
    folder = tmp_path_factory.mktemp("first-version")
    with sqlite3.connect(folder / "db.sqlite3") as database:
        database.executescript(gzip.decompress(DUMP.read_bytes()).decode())
    done = manage(folder, "migrate", "--verbosity=0")
    assert done.returncode == 0, done.stderr
    return folder


def manage(var: Path, *words: str) -> subprocess.CompletedProcess[str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith("SCRIBELINE_")}
    return subprocess.run(
        [sys.executable, "manage.py", *words],
        cwd=ROOT,
        env={**kept, "SCRIBELINE_VAR": str(var)},
        capture_output=True,
        text=True,
        timeout=120,
    )


def counted(var: Path, table: str) -> int:
    with sqlite3.connect(var / "db.sqlite3") as database:
        return int(database.execute(f"SELECT count(*) FROM {table}").fetchone()[0])


def test_nothing_of_it_is_lost(var: Path) -> None:
    assert {table: counted(var, table) for table in ("jobs_job", "jobs_result", "shop_event")} == {
        "jobs_job": 4,
        "jobs_result": 168,
        "shop_event": 617,
    }


@pytest.mark.django_db
def test_its_tables_are_those_that_a_new_shop_has(var: Path) -> None:
    """All other tests have theirs from the models, which takes each process seconds less than migrating."""
    with sqlite3.connect(var / "db.sqlite3") as database:
        taken_along = {
            table: columns_and_indexes(database.execute, table) for table in tables(database.execute)
        }
    with connection.cursor() as cursor:
        made = {table: columns_and_indexes(cursor.execute, table) for table in tables(cursor.execute)}
    assert len(made) > 80
    assert {table: taken_along.get(table) for table in made} == made


def tables(ask: Callable[[str], Any]) -> list[str]:
    found = ask("SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'").fetchall()
    return sorted(name for (name,) in found)


def columns_and_indexes(ask: Callable[[str], Any], table: str) -> tuple[set[Any], list[Any]]:
    """Name, type and whether it must be there for each column; what each index is over, where, and whether
    it holds each value once."""
    columns = {row[1:4] for row in ask(f"PRAGMA table_info({table})").fetchall()}
    indexes = [
        (bool(unique), partial, [row[2] for row in ask(f"PRAGMA index_info({name})").fetchall()])
        for _position, name, unique, _origin, partial in ask(f"PRAGMA index_list({table})").fetchall()
    ]
    return columns, sorted(indexes)


def test_its_record_is_still_whole(var: Path) -> None:
    """Fields that came later are no change of what was recorded before them."""
    said = manage(var, "verify_record").stdout.splitlines()
    photos = counted(var, "jobs_photo")
    assert photos > 0
    assert [line for line in said if not line.endswith(FILE_GONE)] == []
    assert len(said) == photos


def test_a_row_changed_behind_its_back_is_still_found(var: Path) -> None:
    with sqlite3.connect(var / "db.sqlite3") as database:
        database.execute("UPDATE jobs_result SET reason = 'x' WHERE id = (SELECT min(id) FROM jobs_result)")
    said = manage(var, "verify_record").stdout
    assert "was changed" in said.replace(FILE_GONE, "")
