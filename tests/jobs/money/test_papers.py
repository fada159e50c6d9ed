"""Work order, estimate, invoice and credit note as papers of one family with the traveler."""

import io
from collections.abc import Callable
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pdfplumber
import pytest
from django.utils import timezone

from jobs.money.invoices import credit, issue_closing
from shop.documents import kinds
from shop.documents.asking import ask
from shop.documents.currency import has_moved_on
from shop.documents.kinds import PaperError
from shop.documents.making import read_record
from shop.documents.models import Document
from shop.documents.rendering import render_pdf
from shop.models import ShopSettings, StreamHead
from tests.jobs.desk import Desk
from tests.jobs.money.till import LINES, answer, ask_extra, offered, taxed
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db
Draw = Callable[[str, str], str]


@pytest.fixture
def draw(route: SmallRoute, monkeypatch: pytest.MonkeyPatch, settings: Any, tmp_path: Path) -> Draw:
    settings.MEDIA_ROOT = tmp_path
    monkeypatch.setattr("shop.documents.asking.current_app.send_task", lambda *_a, **_o: None)

    def drawn(kind: str, stream: str) -> str:
        wren = route.people["wren"]
        document = ask(kind, stream, by=wren, now=route.now, options={"paper": "Letter"})
        with timezone.override(ZoneInfo(ShopSettings.current().zone)):
            pdf = render_pdf(read_record(document), size="Letter", tell=lambda *_said: None)
        with pdfplumber.open(io.BytesIO(pdf)) as opened:
            return " ".join(" ".join(page.extract_text().split()) for page in opened.pages)

    return drawn


def test_the_work_order_says_what_is_allowed_and_up_to_how_much(draw: Draw, route: SmallRoute) -> None:
    taxed()
    offered(route)
    assert "Nothing yet. Nothing irreversible before it." in draw("work_order", "job/1001")
    answer(route, 1, allows_cutting="yes")
    ask_extra(route)
    said = draw("work_order", "job/1001")
    head = StreamHead.objects.get(stream="job/1001")
    for words in (
        "Work order 1001", "Test customer", "1966 Test car", "up to 4,675.80 USD", "Cutting allowed.",
        "The rail is rusted through", "waits for the customer", "T10 Take the front suspension off",
        "signature and date", "page 1 of", f"record {head.sequence}-{head.hash[:12]}",
    ):  # fmt: skip
        assert words in said


def test_the_estimate_adds_up_on_paper_and_a_draft_is_none(draw: Draw, route: SmallRoute) -> None:
    taxed()
    with pytest.raises(PaperError):
        draw("estimate", "job/1001")
    offered(route)
    said = draw("estimate", "job/1001")
    for words in ("Estimate 1", "Take the front off", "4,100.05", "4,337.55", "338.25", "4,675.80",
                  "Of it in advance, 30 % 1,402.74", "I allow the work of estimate 1"):  # fmt: skip
        assert words in said
    answer(route, 1)
    assert "Accepted on" in draw("estimate", "job/1001")


def test_the_invoice_takes_off_what_was_paid_and_tells_when_it_was_taken_back(
    draw: Draw, route: SmallRoute
) -> None:
    taxed()
    wren = route.people["wren"]
    route.send("payment", "payment", "wren", amount="1000", way="card")
    made = issue_closing(route.job, LINES, by=wren, now=route.now)
    said = draw("invoice", "invoice/5001")
    for words in ("Invoice 5001", "4,675.80", "1,000.00", "3,675.80", "Tax, 8.25 % on parts, consumables"):
        assert words in said
    paper = _newest("invoice/5001")
    assert not has_moved_on(paper)
    credit(made, reason="Wrong customer", by=wren, now=route.now)
    assert has_moved_on(paper)
    assert "Taken back by credit note 5002." in draw("invoice", "invoice/5001")
    note = draw("invoice", "invoice/5002")
    assert "Takes back invoice 5001" in note
    assert "−4,675.80" in note


def _newest(stream: str) -> Document:
    document = Document.objects.of(stream).order_by("-issue")[0]
    document.record_sequence = StreamHead.objects.get(stream=stream).sequence
    return document


def test_there_is_no_paper_about_what_is_not_there(route: SmallRoute) -> None:
    for kind, stream in (("estimate", "job/9999"), ("invoice", "invoice/1"), ("invoice", "job/1001")):
        assert kinds.subject_of(kind, stream) is None
    about = kinds.subject_of("estimate", "job/1001")
    assert about is not None
    assert (about.url, about.bay_id) == ("/jobs/1001/money/", None)


def test_what_a_customer_pays_is_for_the_desk_alone(draw: Draw, route: SmallRoute) -> None:
    offered(route)
    draw("estimate", "job/1001")
    paper = _newest("job/1001")
    for who, status in (("wren", 200), ("lind", 200), ("fenn", 403)):
        desk = Desk(route, who)
        assert desk.get("/papers/ask/?kind=estimate&stream=job/1001").status_code == status
        assert desk.get(f"/papers/{paper.pk}/").status_code == status
    assert Desk(route, "fenn").get("/papers/ask/?kind=traveler&stream=job/1001").status_code == 200
