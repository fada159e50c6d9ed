"""Making a paper from its row: read at one point of the record, drawn, delivered once."""

from typing import Any
from uuid import uuid4

import pdfplumber
import pytest
from django.db import transaction

from shop.documents import kinds, lease, making
from shop.documents.kinds import Paper, PaperError
from shop.documents.making import make, read_record
from shop.documents.models import Document, DocumentState
from shop.events import append
from shop.models import Event
from tests.shop.documents.conftest import NOW, bench, build_slip, later

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def no_thread(monkeypatch: pytest.MonkeyPatch) -> None:
    """The thread that renews the lease has its own tests; here it could not see the open transaction."""
    monkeypatch.setattr(lease.threading.Thread, "start", lambda _self: None)
    monkeypatch.setattr(lease.threading.Thread, "join", lambda _self: None)


def made(document: Document) -> Document:
    make(document.pk, clock=lambda: later(seconds=2), worker="one")
    return Document.objects.get(pk=document.pk)


def build_with(monkeypatch: pytest.MonkeyPatch, builder: Any) -> None:
    monkeypatch.setattr(kinds, "_kinds", {})
    kinds.register("slip", builder, title="Slip", subject=bench)


def test_the_paper_is_ready_and_says_where_the_record_stood(asked: Document) -> None:
    row = made(asked)
    assert (row.state, row.attempt, row.record_sequence) == (DocumentState.READY, 1, 1)
    assert row.record_hash == Event.objects.get(sequence=1).hash
    with pdfplumber.open(row.file.open()) as opened:
        text = opened.pages[0].extract_text()
    assert "Slip, issue 1" in text
    assert "The record stands at 1." in text


def test_it_says_what_it_is_doing_and_never_goes_back(
    asked: Document, monkeypatch: pytest.MonkeyPatch
) -> None:
    said: list[tuple[int, int, str]] = []
    monkeypatch.setattr(
        making, "report", lambda _document, *, done, total, doing: said.append((done, total, doing))
    )
    made(asked)
    assert said == [
        (0, 0, "Reading the record"),
        (0, 2, "Setting the text"),
        (1, 2, "Setting page 1"),
        (1, 2, "Writing the file"),
    ]


def test_the_same_task_twice_makes_one_paper(asked: Document) -> None:
    made(asked)
    row = made(asked)
    assert row.attempt == 1
    assert Event.objects.filter(kind="document.issued").count() == 1


def test_a_task_for_nothing_does_nothing(db: None) -> None:
    make(uuid4(), clock=lambda: NOW, worker="one")


def test_nothing_is_drawn_in_a_transaction(asked: Document, monkeypatch: pytest.MonkeyPatch) -> None:
    depth = len(transaction.get_connection().savepoint_ids)
    seen: list[int] = []
    draw = making.render_pdf

    def watched(*args: Any, **options: Any) -> bytes:
        seen.append(len(transaction.get_connection().savepoint_ids))
        return draw(*args, **options)

    monkeypatch.setattr(making, "render_pdf", watched)
    made(asked)
    assert seen == [depth]


def test_a_paper_that_cannot_be_made_says_so(asked: Document, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(_document: Document) -> Paper:
        raise PaperError("The bench is gone.")

    build_with(monkeypatch, refuse)
    row = made(asked)
    assert (row.state, row.failure) == (DocumentState.FAILED, "The bench is gone.")


def test_a_kind_that_nobody_makes_any_more_fails_in_words(
    asked: Document, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(kinds, "_kinds", {})
    assert made(asked).failure == "There is no such paper: slip"


def test_a_mishap_leaves_it_to_the_sweep(asked: Document, monkeypatch: pytest.MonkeyPatch) -> None:
    def stumble(_document: Document) -> Paper:
        raise OSError("disk full")

    build_with(monkeypatch, stumble)
    row = made(asked)
    assert (row.state, row.attempt) == (DocumentState.ASKED, 1)


def test_an_attempt_that_lost_its_lease_leaves_the_document_to_the_other(
    asked: Document, monkeypatch: pytest.MonkeyPatch
) -> None:
    def taken_over(document: Document) -> Paper:
        lease.claim(document.pk, now=later(hours=1), worker="two")
        return build_slip(document)

    build_with(monkeypatch, taken_over)
    row = made(asked)
    assert (row.state, row.attempt) == (DocumentState.IN_WORK, 2)


def test_a_record_that_moves_while_it_is_read_is_read_again(
    asked: Document, monkeypatch: pytest.MonkeyPatch
) -> None:
    reads: list[int | None] = []

    def build(document: Document) -> Paper:
        reads.append(document.record_sequence)
        if len(reads) == 1:
            append(stream="bench/1", kind="bench.moved", data={}, now=NOW)
        return build_slip(document)

    build_with(monkeypatch, build)
    assert read_record(asked).context["sequence"] == 2
    assert reads == [1, 2]


def test_a_record_that_never_rests_is_left_for_later(
    asked: Document, monkeypatch: pytest.MonkeyPatch
) -> None:
    def build(document: Document) -> Paper:
        append(stream="bench/1", kind="bench.moved", data={}, now=NOW)
        return build_slip(document)

    build_with(monkeypatch, build)
    assert made(asked).state == DocumentState.ASKED
