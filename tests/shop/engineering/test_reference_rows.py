"""Every reference row of this floor is a test, or stands in NOT_USED.md with its reason."""

import csv

import pytest

from tests.reference.rows import FOLDER, not_used, rows
from tests.shop.engineering import test_conformity_published as conformity
from tests.shop.engineering import test_fasteners_published as fasteners
from tests.shop.engineering import test_holes_published as holes

GROUPS = {
    "units_fractions.csv": {
        *("factor", "inverse factor", "published rounded factor", "worked conversion", "angle parse"),
        *("angle format", "fraction parse", "fraction parse reject", "fraction to mm", "nearest fraction"),
        *("rounding tie", "heat input"),
    },
    "vin_gs1_barcode.csv": {
        *("VIN check digit", "VIN invalid", "VIN format", "VIN blind spot", "VIN transliteration"),
        *("VIN weight", "model year", "pre-1981 serial"),
    },
    fasteners.FILE: set(fasteners.GROUPS),
    holes.HOLES: set(holes.GROUPS),
    holes.SPEEDS: set(holes.SPEED_GROUPS),
}


def _ids(file: str) -> set[str]:
    with (FOLDER / file).open(encoding="utf-8", newline="") as lines:
        return {row["id"] for row in csv.DictReader(lines)}


@pytest.mark.parametrize("file", GROUPS)
def test_every_row_belongs_to_a_tested_group(file: str) -> None:
    assert {row.group for row in rows(file)} == GROUPS[file]


def test_every_row_on_conformity_has_a_test() -> None:
    assert {row.id for row in rows("conformity.csv")} == set(conformity.NUMBERS) | conformity.TEXTS


@pytest.mark.parametrize("file", [*GROUPS, "conformity.csv"])
def test_what_is_not_used_exists_and_says_why(file: str) -> None:
    listed = not_used(file)
    assert set(listed) <= _ids(file)
    assert all(len(reason) > 20 for reason in listed.values())


@pytest.mark.parametrize(
    "file", [*GROUPS, "conformity.csv", "geometry.csv", "welding.csv", "hotwork_safety.csv"]
)
def test_rows_do_not_say_where_they_were_found(file: str) -> None:
    assert all("where_seen" not in row.fields for row in rows(file))
