"""Counting a delivery at the counter, with and without a slip, with and without script."""

from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from parts.models import KitOrder, PackingSlip, Receipt, ReceiptLine
from parts.reconciling import reconcile
from parts.slip_files import bring_in_slip
from shop.models import Entry, Outcome, Person
from shop.verification import verify_record
from tests.factories import NOON, KitLineFactory
from tests.parts.counting_by_hand import address, blank, counted, errors, typed
from tests.parts.kit_texts import SLIP


@pytest.fixture
def slip(order: KitOrder, clerk: Person) -> PackingSlip:
    return bring_in_slip(SLIP, by=clerk, now=NOON)


def test_the_sheet_lists_the_slip_as_it_stands_on_paper(
    counter: Client, order: KitOrder, slip: PackingSlip
) -> None:
    answer = counter.get(address(order, "PS-77"))
    sheet = answer.context["sheet"]
    assert [(form.row.part_number, form.row.slipped) for form in sheet.on_slip] == [
        ("T1-100", 1),
        ("T1-110", 2),
        ("T1-201", 8),
        ("X-9", 1),
    ]
    assert [form.row.part_number for form in sheet.others] == ["T1-200"]
    text = answer.content.decode()
    assert "stands in for T1-200" in text
    assert "+2 later" in text
    assert "not in the kit" in text


def test_nothing_is_filled_in_unasked(counter: Client, order: KitOrder, slip: PackingSlip) -> None:
    sheet = counter.get(address(order, "PS-77")).context["sheet"]
    assert {form["counted"].value() for form in sheet.counts} == {None}


def test_the_result_says_what_is_short_and_who_needs_it(
    counter: Client, order: KitOrder, slip: PackingSlip
) -> None:
    answer = counted(counter, order, "PS-77", T1_100=1, T1_110=2, T1_201=8, X_9=1)
    receipt = Receipt.objects.get()
    assert answer["Location"] == reverse("parts:receipt", args=[order.number, receipt.pk])
    text = counter.get(answer["Location"]).content.decode()
    assert "1 part is short" in text
    assert "T1-110 Sleeve ½ in: 2 of 4 missing, first needed at D30; expected 24 Apr 2030." in text
    assert "1 of the missing parts is critical." in text
    assert reconcile(order).is_counted
    assert verify_record().is_whole


def test_blank_is_not_counted_and_nought_is(counter: Client, order: KitOrder) -> None:
    counted(counter, order, T1_100=0)
    line = ReceiptLine.objects.get()
    assert (line.part_number, line.counted) == ("T1-100", 0)
    assert not reconcile(order).is_counted


def test_damaged_and_wrong_with_a_note(counter: Client, order: KitOrder) -> None:
    counted(counter, order, T1_110={"counted": 1, "damaged": 2, "wrong": 1, "note": "crushed carton"})
    line = ReceiptLine.objects.get()
    assert (line.counted, line.damaged, line.wrong, line.note) == (1, 2, 1, "crushed carton")


@pytest.mark.parametrize("field", ["counted", "damaged", "wrong"])
@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("-1", "below 0"),
        ("NaN", "whole number"),
        ("inf", "whole number"),
        ("1.5", "whole number"),
        ("1e3", "whole number"),
        ("9" * 401, "whole number"),
        ("1" + "0" * 399, "too many"),
        ("100000", "too many"),
        ("twelve", "whole number"),
    ],
)
def test_what_is_no_count_is_said_beside_the_field(
    counter: Client, order: KitOrder, field: str, text: str, words: str
) -> None:
    answer = counted(counter, order, T1_100=1, T1_110={"counted": "1", "note": "kept", field: text})
    assert answer.status_code == 422
    assert words in errors(answer)
    page = answer.content.decode()
    assert f'value="{text}"' in page
    assert 'value="kept"' in page
    assert f"row1-{field}_error" in page
    assert not Entry.objects.exists()


def test_damaged_alone_asks_how_many_are_good(counter: Client, order: KitOrder) -> None:
    answer = counted(counter, order, T1_110={"damaged": "1"})
    assert "T1-110 Say how many are good, 0 if none." in errors(answer)


def test_nothing_typed_at_all(counter: Client, order: KitOrder) -> None:
    answer = counted(counter, order)
    assert answer.status_code == 422
    assert "Nothing was counted." in errors(answer)


def test_a_note_longer_than_the_field(counter: Client, order: KitOrder) -> None:
    assert "at most 200" in errors(counted(counter, order, T1_110={"counted": "1", "note": "n" * 201}))


def test_more_than_ordered_is_asked_once_and_recorded_as_over(counter: Client, order: KitOrder) -> None:
    answer = counted(counter, order, T1_110=5)
    assert answer.status_code == 422
    assert "5 counted, but 4 ordered." in errors(answer)
    page = answer.content.decode()
    assert "Yes, counted again" in page
    assert 'value="5"' in page
    again = typed(answer, T1_110={"counted": 5, "over_confirmed": "on"})
    assert counter.post(address(order), again).status_code == 302
    assert reconcile(order).lines[1].over == 1


def test_all_as_slipped_fills_in_and_records_nothing(
    counter: Client, order: KitOrder, slip: PackingSlip
) -> None:
    at = address(order, "PS-77")
    fields = typed(counter.get(at), T1_110=1) | {"fill": "slipped"}
    answer = counter.post(at, fields)
    assert answer.status_code == 200
    sheet = answer.context["sheet"]
    assert {form.row.part_number: form["counted"].value() for form in sheet.on_slip} == {
        "T1-100": "1",
        "T1-110": "1",
        "T1-201": "8",
        "X-9": "1",
    }
    assert {form["counted"].value() for form in sheet.others} == {None}
    assert not Entry.objects.exists()
    assert "3 of 4 short" in answer.content.decode()


def test_all_as_slipped_keeps_what_cannot_be_read(
    counter: Client, order: KitOrder, slip: PackingSlip
) -> None:
    at = address(order, "PS-77")
    answer = counter.post(at, typed(counter.get(at), T1_110="some") | {"fill": "slipped"})
    assert 'value="some"' in answer.content.decode()


def test_a_part_that_is_not_in_the_list(counter: Client, order: KitOrder) -> None:
    at = address(order)
    extra = {"extra1-part_number": "Z-1", "extra1-counted": "2", "extra1-note": "loose washer"}
    counter.post(at, blank(counter.get(at)) | extra)
    assert [(part.part_number, part.counted) for part in reconcile(order).unlisted] == [("Z-1", 2)]


@pytest.mark.parametrize(
    ("extra", "words"),
    [
        ({"extra1-counted": "2"}, "Say which part this is"),
        ({"extra1-part_number": "Z-1"}, "Say how many are good"),
        (
            {"extra1-part_number": "T1-110", "extra1-counted": "1"},
            "is in the kit; count it on the line of T1-110",
        ),
        ({"extra1-part_number": "Z" * 41, "extra1-counted": "1"}, "at most 40"),
    ],
)
def test_an_unlisted_part_half_said(
    counter: Client, order: KitOrder, extra: dict[str, str], words: str
) -> None:
    at = address(order)
    answer = counter.post(at, blank(counter.get(at)) | extra)
    assert answer.status_code == 422
    assert words in errors(answer)
    assert not Receipt.objects.exists()


def test_the_same_form_sent_twice_is_one_receipt(counter: Client, order: KitOrder) -> None:
    fields = typed(counter.get(address(order)), T1_100=1, T1_110=4)
    first, second = (counter.post(address(order), fields) for _ in range(2))
    assert first["Location"] == second["Location"]
    assert Receipt.objects.count() == 1


def test_the_same_form_with_other_counts_is_told_with_both(counter: Client, order: KitOrder) -> None:
    page = counter.get(address(order))
    counter.post(address(order), typed(page, T1_110=3))
    answer = counter.post(address(order), typed(page, T1_110=2))
    assert answer.status_code == 409
    assert "recorded already, with T1-110 (3 good). You sent it again with T1-110 (2 good)" in errors(answer)
    assert reconcile(order).lines[1].counted == 3


def test_two_people_counting_at_once_are_told(counter: Client, order: KitOrder) -> None:
    first, second = counter.get(address(order)), counter.get(address(order))
    counter.post(address(order), typed(first, T1_110=3))
    answer = counter.post(address(order), typed(second, T1_110=1))
    assert answer.status_code == 409
    assert "Meanwhile Clerk of the Test Shop recorded T1-110 (3 good)" in errors(answer)
    assert 'value="1"' in answer.content.decode()
    assert counter.post(address(order), typed(answer, T1_110=1)).status_code == 302
    assert reconcile(order).lines[1].short == 0


@pytest.mark.parametrize("lost", [{"entry_id": ""}, {"entry_id": "x"}, {"saw": "x"}])
def test_a_form_without_its_identity_gets_a_new_one(
    counter: Client, order: KitOrder, lost: dict[str, str]
) -> None:
    answer = counter.post(address(order), typed(counter.get(address(order)), T1_110=3) | lost)
    assert answer.status_code == 422
    assert "lost its identity" in errors(answer)
    assert counter.post(address(order), typed(answer, T1_110=3)).status_code == 302


def test_htmx_gets_the_same_page_and_is_sent_on(counter: Client, order: KitOrder) -> None:
    htmx = {"HX-Request": "true", "HX-Target": "main"}
    page = counter.get(address(order))
    refused = counter.post(address(order), typed(page, T1_110="x"), headers=htmx)
    assert refused.status_code == 422
    assert 'id="main"' in refused.content.decode()
    taken = counter.post(address(order), typed(page, T1_110=4), headers=htmx)
    assert taken["HX-Redirect"] == reverse("parts:receipt", args=[order.number, Receipt.objects.get().pk])


def test_whoever_only_looks_may_not_count_but_sees_the_receipt(
    counter: Client, looker: Client, order: KitOrder
) -> None:
    assert looker.get(address(order)).status_code == 403
    assert looker.post(address(order), {}).status_code == 403
    to = counted(counter, order, T1_100=1)["Location"]
    assert looker.get(to).status_code == 200


def test_queries_do_not_grow_with_lines(counter: Client, order: KitOrder) -> None:
    counter.get(address(order))
    with CaptureQueriesContext(connection) as few:
        counter.get(address(order))
    for position in range(10, 30):
        KitLineFactory(revision=order.kit_revision, position=position)
    with CaptureQueriesContext(connection) as many:
        counter.get(address(order))
    assert len(few) == len(many)


def test_a_long_kit_is_counted_on_one_page(counter: Client, order: KitOrder) -> None:
    lines = [KitLineFactory(revision=order.kit_revision, position=at, quantity=1) for at in range(10, 310)]
    page = counter.get(address(order))
    fields = blank(page)
    for prefix in [form.prefix for form in page.context["sheet"].counts]:
        fields |= {
            f"{prefix}-counted": "0",
            f"{prefix}-damaged": "",
            f"{prefix}-wrong": "",
            f"{prefix}-note": "",
        }
    assert counter.post(address(order), fields).status_code == 302
    assert ReceiptLine.objects.count() == len(lines) + 3


def test_a_refused_sheet_leaves_a_trace_and_no_receipt(counter: Client, order: KitOrder) -> None:
    counted(counter, order, T1_110=9)
    assert Entry.objects.get().outcome == Outcome.REFUSED
    assert not Receipt.objects.exists()
    fields = typed(counter.get(address(order)), T1_110=9) | {"entry_id": str(uuid4())}
    assert counter.post(address(order), fields).status_code == 422
