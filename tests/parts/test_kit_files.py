"""A kit's list goes in whole or not at all, and comes out as it went in."""

import datetime as dt
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.kit_differences import kit_differences
from parts.kit_files import KitNews, bring_in, bring_in_kit, kit_file
from parts.kit_sheet import KitSheet, KitSheetLine, kit_sheet, read_kit, write_kit
from parts.models import KitDefinition, KitLine, KitRevision
from shop.file_errors import FileErrors
from shop.models import Event, Person
from shop.revisions import FrozenRevisionError, RevisionState
from shop.verification import verify_record
from tests.factories import NOON, PersonFactory
from tests.parts.kit_texts import COSTED, KIT, KIT_HEADER, KIT_ROWS, with_row

LATER = NOON + dt.timedelta(hours=1)


@pytest.fixture
def clerk(db: None) -> Person:
    return PersonFactory(role="parts_clerk")


def refusal(content: bytes) -> list[str]:
    with pytest.raises(FileErrors) as caught:
        read_kit(content)
    return [str(error) for error in caught.value.errors]


def row(**changed: str) -> str:
    names = KIT_HEADER.strip().split(",")
    cells = dict(zip(names, KIT_ROWS[0].strip().split(","), strict=True)) | changed
    return ",".join(cells[name] for name in names)


def test_a_kit_is_read_whole() -> None:
    sheet = read_kit(KIT)
    assert (sheet.kit, sheet.revision, sheet.supplier) == ("KIT-T1", "A", "Invented Works")
    assert [line.quantity for line in sheet.lines] == [1, 4, 8]
    assert sheet.lines[2].description == 'Bolt, hex, 1/2" flanged'
    assert sheet.lines[2].substitutes == ("T1-201", "T1-202")
    assert [line.is_critical for line in sheet.lines] == [True, True, False]


def test_a_canonical_file_is_written_byte_for_byte() -> None:
    assert write_kit(read_kit(KIT)) == KIT


def test_a_file_with_costs_is_written_byte_for_byte_and_one_without_says_nothing_about_them(
    clerk: Person,
) -> None:
    assert write_kit(read_kit(COSTED)) == COSTED
    revision = bring_in_kit(COSTED, by=clerk, now=NOON, release=True)
    assert revision.lines.get(part_number="T1-200").unit_cost == Decimal("1.85")
    assert bring_in(KIT, by=clerk, now=LATER, release=True).news == KitNews.NOTHING
    assert kit_file(revision) == COSTED


@pytest.mark.parametrize("cell", ["-1", "1.855", "NaN", "1e3", "9" * 400, "12$", "٣"])
def test_a_cost_that_is_no_amount_is_named(cell: str) -> None:
    (error,) = refusal(COSTED.replace(b"412.00", cell.encode()))
    assert error == (
        "line 2, unit_cost: Write the cost of one piece as an amount, such as 12.50, or leave it empty."
    )


def test_another_price_is_a_difference_that_touches_no_car() -> None:
    old, new = read_kit(COSTED), read_kit(COSTED.replace(b"1.85", b"2.10"))
    found = kit_differences(old, new)
    (change,) = found.operations
    assert [(f.label, f.old, f.new) for f in change.fields] == [("cost, each", "1.85", "2.10")]
    assert found.touched == frozenset()
    assert kit_differences(old, read_kit(COSTED.replace(b",8,,A20", b",9,,A20"))).touched == {"A20"}


@pytest.mark.parametrize(
    ("column", "cell", "words"),
    [
        ("part_number", "", "missing"),
        ("part_number", "P" * 41, "longer than 40"),
        ("part_number", "T1-110", "already on line 2"),
        ("description", "", "missing"),
        ("quantity", "", "Type a number of pieces"),
        ("quantity", "0", "At least 1"),
        ("quantity", "-3", "below 0"),
        ("quantity", "NaN", "whole number"),
        ("quantity", "2.5", "whole number"),
        ("quantity", "1" + "0" * 400, "whole number"),
        ("quantity", "1" + "0" * 30, "too many"),
        ("quantity", "٣", "whole number"),
        ("side", "front", "left, right, both"),
        ("operation", "", "missing"),
        ("operation", "weld it", "such as A30"),
        ("critical", "maybe", "yes or no"),
        ("critical", "", "yes or no"),
        ("substitutes", "A;;B", "beside a semicolon"),
        ("substitutes", "A;A", "there twice"),
        ("substitutes", "T1-100", "stand in for itself"),
        ("substitutes", "A" * 41, "longer than 40"),
        ("finish", "z" * 41, "longer than 40"),
        ("kit", "KIT-T2", "the first row KIT-T1"),
        ("supplier", "", "This row says nothing"),
    ],
)
def test_each_bad_cell_is_named(column: str, cell: str, words: str) -> None:
    changed = {"part_number": "T1-100", column: cell}
    content = with_row(KIT_HEADER, (KIT_ROWS[1], KIT_ROWS[2], KIT_ROWS[0]), 2, row(**changed))
    errors = refusal(content)
    assert errors[0].startswith(f"line 4, {column}: ")
    assert words in errors[0]
    assert len(errors) == 1


def test_a_code_that_cannot_be_an_address() -> None:
    assert "letters, digits" in refusal(KIT.replace(b"KIT-T1", b"KIT/T1"))[0]


def test_all_errors_are_found_at_once_in_the_order_of_the_file() -> None:
    errors = refusal((KIT_HEADER + row(quantity="x", critical="x") + "\n" + row(side="up") + "\n").encode())
    assert [error.split(":")[0] for error in errors] == [
        "line 2, quantity",
        "line 2, critical",
        "line 3, part_number",
        "line 3, side",
    ]


def test_a_header_alone_is_no_kit() -> None:
    assert refusal(KIT_HEADER.encode()) == ["Below the column names there is no row."]


def test_a_kit_comes_in_as_a_draft_and_leaves_events(clerk: Person) -> None:
    revision = bring_in_kit(KIT, by=clerk, now=NOON, release=False)
    assert revision.state == RevisionState.DRAFT
    assert [line.part_number for line in revision.lines.all()] == ["T1-100", "T1-110", "T1-200"]
    assert Event.objects.get().stream == "kit/KIT-T1"
    assert verify_record().is_whole
    assert kit_file(revision) == KIT


def test_nothing_is_saved_unless_all_is_right(clerk: Person) -> None:
    with pytest.raises(FileErrors):
        bring_in_kit(with_row(KIT_HEADER, KIT_ROWS, 2, row(quantity="x")), by=clerk, now=NOON, release=True)
    assert not KitDefinition.objects.exists()
    assert not Event.objects.exists()


def test_a_released_kit_is_frozen(clerk: Person) -> None:
    revision = bring_in_kit(KIT, by=clerk, now=NOON, release=True)
    assert (revision.state, revision.released_at) == (RevisionState.RELEASED, NOON)
    line = revision.lines.get(part_number="T1-100")
    line.quantity = 2
    with pytest.raises(FrozenRevisionError):
        line.save()


def test_the_same_content_again_is_no_news(clerk: Person) -> None:
    first = bring_in(KIT, by=clerk, now=NOON, release=True)
    events = Event.objects.count()
    again = bring_in(KIT.replace(b"\n", b"\r\n"), by=clerk, now=LATER, release=True)
    assert (first.news, again.news) == (KitNews.NEW, KitNews.NOTHING)
    assert again.revision == first.revision
    assert Event.objects.count() == events
    assert KitLine.objects.count() == 3


def test_other_content_under_a_released_revision_is_refused(clerk: Person) -> None:
    bring_in_kit(KIT, by=clerk, now=NOON, release=True)
    with pytest.raises(FileErrors, match="is released and says something else"):
        bring_in_kit(KIT.replace(b"Cradle", b"Cradle wide"), by=clerk, now=LATER, release=True)
    assert KitLine.objects.get(part_number="T1-100").description == "Cradle"


def test_a_draft_is_replaced_then_released(clerk: Person) -> None:
    bring_in_kit(KIT, by=clerk, now=NOON, release=False)
    other = with_row(KIT_HEADER, KIT_ROWS, 0, row(description="Cradle welded"))
    changed = bring_in(other, by=clerk, now=LATER, release=False)
    assert changed.news == KitNews.CHANGED
    assert kit_file(changed.revision) == other
    released = bring_in(other, by=clerk, now=LATER, release=True)
    assert released.news == KitNews.RELEASED
    assert KitRevision.objects.get().state == RevisionState.RELEASED
    assert verify_record().is_whole


def test_a_new_revision_supersedes_the_old_one(clerk: Person) -> None:
    first = bring_in_kit(KIT, by=clerk, now=NOON, release=True)
    second = bring_in_kit(KIT.replace(b"KIT-T1,A,", b"KIT-T1,B,"), by=clerk, now=LATER, release=True)
    first.refresh_from_db()
    assert (first.state, second.state) == (RevisionState.SUPERSEDED, RevisionState.RELEASED)
    assert kit_file(first) == KIT
    assert verify_record().is_whole


@pytest.mark.parametrize(("old", "new"), [(b"Test clip kit", b"Other kit"), (b"Invented Works", b"Someone")])
def test_a_code_stays_with_its_kit(clerk: Person, old: bytes, new: bytes) -> None:
    bring_in_kit(KIT, by=clerk, now=NOON, release=True)
    other = KIT.replace(b"KIT-T1,A,", b"KIT-T1,B,").replace(old, new)
    with pytest.raises(FileErrors, match="KIT-T1 is known with"):
        bring_in_kit(other, by=clerk, now=LATER, release=True)
    assert KitRevision.objects.count() == 1


WORDS = st.text("aZ09 ½Ø時=+-@'\",;.", max_size=12).map(str.strip)
PARTS = st.text("AZ09+=@-", min_size=1, max_size=6)
LINES = st.builds(
    KitSheetLine,
    part_number=PARTS,
    description=WORDS.filter(bool),
    quantity=st.integers(1, 99_999),
    side=st.sampled_from(["", "left", "right", "both"]),
    operation=st.sampled_from(["A10", "D30", "W999"]),
    is_critical=st.booleans(),
    substitutes=st.lists(PARTS.map(lambda part: f"{part}-ALT"), unique=True, max_size=3).map(tuple),
    thread=WORDS,
    grade=WORDS,
    length=WORDS,
    finish=WORDS,
)
KITS = st.builds(
    KitSheet,
    kit=st.just("KIT-T9"),
    revision=st.sampled_from(["A", "B2"]),
    kit_name=WORDS.filter(bool),
    supplier=WORDS.filter(bool),
    lines=st.lists(LINES, min_size=1, max_size=6, unique_by=lambda line: line.part_number).map(tuple),
)


@given(KITS)
def test_any_kit_survives_writing_and_reading(sheet: KitSheet) -> None:
    content = write_kit(sheet)
    assert read_kit(content) == sheet
    assert write_kit(read_kit(content)) == content


def test_a_kit_in_the_record_is_the_sheet_it_came_from(clerk: Person) -> None:
    sheet = replace(read_kit(KIT), kit_name="=Kit", supplier="@Works")
    revision = bring_in_kit(write_kit(sheet), by=clerk, now=NOON, release=False)
    assert kit_sheet(revision) == sheet
