"""The kit receiving report: a paper on the order's stream that says all that reconciling found."""

import io
from collections.abc import Callable
from pathlib import Path
from typing import Any
from uuid import uuid4
from zoneinfo import ZoneInfo

import pdfplumber
import pytest
import time_machine
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from parts.models import KitOrder, Receipt
from parts.receiving_report import subject
from parts.slip_files import bring_in_slip
from shop.documents import kinds
from shop.documents.asking import ask
from shop.documents.making import read_record
from shop.documents.models import Document
from shop.documents.rendering import render_pdf
from shop.models import Person, StreamHead
from tests.factories import DAY, NOON
from tests.jobs.small_route import SmallRoute
from tests.parts.counting_by_hand import address, typed
from tests.parts.kit_texts import SLIP
from tests.parts.pages_by_hand import receipt_line, sent
from tests.parts.test_damage import photo

Asked = Callable[[], Document]


@pytest.fixture(autouse=True)
def own_media(settings: Any, tmp_path: Path) -> None:
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def asked(order: KitOrder, clerk: Person, monkeypatch: pytest.MonkeyPatch) -> Asked:
    monkeypatch.setattr("shop.documents.asking.current_app.send_task", lambda *_a, **_o: None)
    return lambda: ask("receiving_report", order.stream, by=clerk, now=NOON, options={"paper": "A4"})


@pytest.fixture
def busy(clerk: Person, order: KitOrder) -> KitOrder:
    """An order to which everything has happened."""
    with time_machine.travel(NOON, tick=False):
        counter = Client()
        counter.force_login(clerk)
        bring_in_slip(SLIP, by=clerk, now=NOON)
        at = address(order, "PS-77")
        fields = typed(
            counter.get(at),
            T1_100={"counted": 2, "over_confirmed": "on"},
            T1_110={"counted": 0, "damaged": 1},
            T1_201={"counted": 6, "wrong": 1},
            X_9=1,
        )
        assert counter.post(at, fields).status_code == 302
        _move(counter, order)
    return order


def _move(counter: Client, order: KitOrder) -> None:
    """Counted again, photographed, chased, bought, sent back."""
    line = {row.part_number: row.pk for row in order.kit_revision.lines.all()}
    again, receipt = receipt_line(order, "T1-201"), Receipt.objects.get()
    bolts = {"quantity": "2", "bought_from": "Invented Fasteners", "part_number": "HX-5", "grade": "5"}
    back = {"part_number": "X-9", "quantity": "1", "reason": "unlisted", "reference": "RMA-7"}
    for name, args, fields in (
        ("recounts", (receipt.pk, again.pk), {"counted": "5", "wrong": "1", "reason": "one stripped"}),
        ("expect", (line["T1-110"],), {"eta": "2030-04-26", "note": "Claim 17"}),
        ("local_purchases", (line["T1-200"],), bolts | {"note": "allowed by the lead"}),
        ("returns", (), back | {"sent_on": DAY.isoformat()}),
    ):
        answer = sent(counter, reverse(f"parts:{name}", args=[order.number, *args]), **fields)
        assert answer.status_code == 302, name
    picture = {"entry_id": str(uuid4()), "part_number": "T1-110", "photos": photo()}
    counter.post(reverse("parts:damage_photograph", args=[order.number, receipt.pk]), picture)


def text_of(document: Document) -> tuple[str, int]:
    """All that the paper says, a blank between words, and how many pictures there are on it."""
    with timezone.override(ZoneInfo("America/Chicago")):
        pdf = render_pdf(read_record(document), size="A4", tell=lambda *_said: None)
    with pdfplumber.open(io.BytesIO(pdf)) as opened:
        text = " ".join(" ".join(page.extract_text().split()) for page in opened.pages)
        return text, sum(len(page.images) for page in opened.pages)


def test_it_says_everything_that_happened(busy: KitOrder, asked: Asked) -> None:
    document = asked()
    text, pictures = text_of(document)
    head = StreamHead.objects.get(stream=busy.stream)
    for words in (
        "Kit receiving report K-0001",
        "2 parts short, 1 critical.",
        "15 Apr 2030 12:00 Clerk of the Test Shop PS-77, 10 Apr 2030 Invented Freight 4",
        "4 of 4 short: 1 fewer than the slip says; 2 backordered on the slip",
        "First needed at D30, expected 26 Apr 2030",
        "1 damaged",
        "To be told to Invented Freight by 20 Apr 2030, 5 days left.",
        "the carrier's own terms come first",
        "1 wrong part in its place",
        "1 more than ordered",
        "X-9 Sticker: not in the kit; 1 came, 1 sent back",
        "T1-201 6 good, 1 wrong 5 good, 1 wrong one stripped",
        "HX-5, grade 5",
        "grade 8)",
        "allowed by the lead",
        "not in the kit RMA-7 15 Apr 2030",
        "26 Apr 2030 Claim 17",
        "Photos of the damage",
        f"Kit order K-0001 · receiving report, issue {document.issue}",
        f"record {document.record_sequence}-{document.record_hash[:12]}",
        "page 1 of 2",
    ):
        assert words in text, words
    assert document.record_hash in "".join(text.split())
    assert (head.sequence, head.hash) == (document.record_sequence, document.record_hash)
    assert pictures == 1


def test_a_kit_that_came_as_ordered_says_only_that(clerk: Person, order: KitOrder, asked: Asked) -> None:
    assert "Nothing was counted yet." in text_of(asked())[0]
    counter = Client()
    counter.force_login(clerk)
    counter.post(address(order), typed(counter.get(address(order)), T1_100=1, T1_110=4, T1_200=8))
    text, _pictures = text_of(asked())
    assert "All that was ordered is here, as ordered." in text
    for head in ("Short ", "Over, damaged", "Counted again", "Bought locally", "Photos"):
        assert f"{head} " not in text.split("Every line")[0]


def test_a_photo_that_is_not_as_it_was_recorded_is_told_and_left_out(busy: KitOrder, asked: Asked) -> None:
    taken = Receipt.objects.get().photos.get()
    Path(taken.image.path).write_bytes(SimpleUploadedFile("x", b"changed").read())
    text, pictures = text_of(asked())
    assert "is not in the store as it was recorded" in text
    assert pictures == 0


def test_it_is_asked_for_on_the_orders_page_and_about_orders_only(counter: Client, order: KitOrder) -> None:
    page = counter.get(reverse("parts:order", args=[order.number])).content.decode()
    assert "Ask for the kit receiving report" in page
    assert subject("order/K-0001").label == "Kit order K-0001"  # type: ignore[union-attr]
    assert [
        kinds.subject_of("receiving_report", stream) for stream in ("order/K-9", "order/", "job/1", "")
    ] == [None] * 4


def test_the_car_stands_on_it(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("shop.documents.asking.current_app.send_task", lambda *_a, **_o: None)
    route = SmallRoute()
    document = ask(
        "receiving_report", "order/K-9", by=route.people["pike"], now=route.now, options={"paper": "A4"}
    )
    assert read_record(document).context["report"].car.job == f"Job {route.job.number}"


def test_queries_do_not_grow_with_what_happened(busy: KitOrder, asked: Asked, clerk: Person) -> None:
    document = asked()
    with CaptureQueriesContext(connection) as few:
        read_record(document)
    counter = Client()
    with time_machine.travel(NOON, tick=False):
        counter.force_login(clerk)
        for pieces in ("4", "6", "5"):
            found = receipt_line(busy, "T1-201")
            at = reverse("parts:recounts", args=[busy.number, found.receipt_id, found.pk])
            assert sent(counter, at, counted=pieces, reason="again").status_code == 302
    with CaptureQueriesContext(connection) as many:
        read_record(document)
    assert len(few) == len(many)
