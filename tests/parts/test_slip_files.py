"""A packing slip goes in whole or not at all, once, and comes out as it went in."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.kit_files import bring_in_kit
from parts.models import KitOrder, PackingSlip, SlipLine
from parts.slip_files import bring_in_slip, slip_file
from parts.slip_sheet import SlipSheet, SlipSheetLine, read_slip, write_slip
from shop.file_errors import FileErrors
from shop.models import Event, Person
from tests.factories import DAY, NOON, KitOrderFactory, PersonFactory
from tests.parts.kit_texts import KIT, SLIP, SLIP_HEADER, SLIP_ROWS, with_row


@pytest.fixture
def clerk(db: None) -> Person:
    return PersonFactory(role="parts_clerk")


@pytest.fixture
def order(clerk: Person) -> KitOrder:
    revision = bring_in_kit(KIT, by=clerk, now=NOON, release=True)
    return KitOrderFactory(number="K-0001", kit_revision=revision)


def refusal(content: bytes) -> list[str]:
    with pytest.raises(FileErrors) as caught:
        read_slip(content)
    return [str(error) for error in caught.value.errors]


def test_a_canonical_file_is_written_byte_for_byte() -> None:
    assert write_slip(read_slip(SLIP)) == SLIP


@pytest.mark.parametrize(
    ("row", "where", "words"),
    [
        ("K-0001,PS-77,Invented Freight,2030-04-10,,Sleeve,2,2,", "part_number", "missing"),
        ("K-0001,PS-77,Invented Freight,2030-04-10,T1-100,Sleeve,2,2,", "part_number", "already on line 2"),
        ("K-0001,PS-77,Invented Freight,2030-04-10,T1-110,Sleeve,,2,", "slipped", "Type a number"),
        ("K-0001,PS-77,Invented Freight,2030-04-10,T1-110,Sleeve,-1,2,", "slipped", "below 0"),
        ("K-0001,PS-77,Invented Freight,2030-04-10,T1-110,Sleeve,2,NaN,", "backordered", "whole number"),
        ("K-0001,PS-77,Invented Freight,2030-04-10,T1-110,Sleeve,2,2,24.4.2030", "eta", "year-month-day"),
        ("K-0001,PS-77,Invented Freight,2030-04-10,T1-110,Sleeve,2,2,2030-02-30", "eta", "year-month-day"),
        ("K-0001,PS-77,Invented Freight,2030-04-10,T1-110,Sleeve,2,2,day+3", "eta", "year-month-day"),
        ("K-0002,PS-77,Invented Freight,2030-04-10,T1-110,Sleeve,2,2,", "order", "the first row K-0001"),
        ("K-0001,PS-78,Invented Freight,2030-04-10,T1-110,Sleeve,2,2,", "slip", "the first row PS-77"),
    ],
)
def test_each_bad_cell_is_named(row: str, where: str, words: str) -> None:
    errors = refusal(with_row(SLIP_HEADER, SLIP_ROWS, 1, row))
    assert len(errors) == 1
    assert errors[0].startswith(f"line 3, {where}: ")
    assert words in errors[0]


@pytest.mark.parametrize("dated", [b"", b"yesterday", b"2030-13-01"])
def test_a_slip_needs_its_date(dated: bytes) -> None:
    errors = refusal(SLIP.replace(b"2030-04-10", dated))
    assert [error.split(":")[0] for error in errors] == ["line 2, dated"]


def test_no_number_backordered_is_none_backordered() -> None:
    assert read_slip(SLIP.replace(b",1,0,\n", b",1,,\n")) == read_slip(SLIP)


def test_days_counted_from_the_day_of_loading() -> None:
    content = SLIP.replace(b"2030-04-10", b"day-2").replace(b"2030-04-24", b"day+9")
    sheet = read_slip(content, today=DAY)
    assert sheet.dated == DAY - dt.timedelta(days=2)
    assert sheet.lines[1].eta == DAY + dt.timedelta(days=9)
    assert read_slip(SLIP.replace(b"2030-04-24", b"day"), today=DAY).lines[1].eta == DAY


def test_a_slip_finds_the_lines_of_its_kit(order: KitOrder, clerk: Person) -> None:
    slip = bring_in_slip(SLIP, by=clerk, now=NOON)
    found = {line.part_number: line.kit_line and line.kit_line.part_number for line in slip.lines.all()}
    assert found == {"T1-100": "T1-100", "T1-110": "T1-110", "T1-201": "T1-200", "X-9": None}
    assert slip_file(slip) == SLIP
    assert Event.objects.filter(stream="order/K-0001", kind="slip.brought_in").count() == 1


def test_a_slip_for_no_order_we_know(clerk: Person) -> None:
    with pytest.raises(FileErrors, match="no kit order K-0001"):
        bring_in_slip(SLIP, by=clerk, now=NOON)
    assert not PackingSlip.objects.exists()


def test_the_same_slip_twice_is_refused_with_words(order: KitOrder, clerk: Person) -> None:
    bring_in_slip(SLIP, by=clerk, now=NOON)
    with pytest.raises(FileErrors, match="is here already, with the same lines"):
        bring_in_slip(SLIP, by=clerk, now=NOON)
    with pytest.raises(FileErrors, match="is here already, with other lines"):
        bring_in_slip(SLIP.replace(b",2,2,", b",3,1,"), by=clerk, now=NOON)
    assert SlipLine.objects.count() == 4


def test_a_substitute_for_two_parts_is_left_to_a_person(clerk: Person) -> None:
    content = KIT.replace(b"T1-201;T1-202", b"T1-111")
    revision = bring_in_kit(content, by=clerk, now=NOON, release=True)
    KitOrderFactory(number="K-0001", kit_revision=revision)
    slip = bring_in_slip(SLIP.replace(b"T1-201", b"T1-111"), by=clerk, now=NOON)
    assert slip.lines.get(part_number="T1-111").kit_line is None


WORDS = st.text("aZ09 ½Ø時=+-@'\",;.", max_size=12).map(str.strip)
LINES = st.builds(
    SlipSheetLine,
    part_number=WORDS.filter(bool),
    description=WORDS,
    slipped=st.integers(0, 99_999),
    backordered=st.integers(0, 99_999),
    eta=st.none() | st.dates(),
)
SLIPS = st.builds(
    SlipSheet,
    order=st.sampled_from(["K-0001", "K-9.9"]),
    slip=WORDS.filter(bool),
    carrier=WORDS,
    dated=st.dates(),
    lines=st.lists(LINES, min_size=1, max_size=6, unique_by=lambda line: line.part_number).map(tuple),
)


@given(SLIPS)
def test_any_slip_survives_writing_and_reading(sheet: SlipSheet) -> None:
    content = write_slip(sheet)
    assert read_slip(content) == sheet
    assert write_slip(read_slip(content)) == content
