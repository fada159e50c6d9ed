"""The end of an attempt: one file, delivered once, whoever comes late."""

import hashlib
from pathlib import Path

import pytest

from shop.documents.delivering import fail, finish, give_back
from shop.documents.lease import ATTEMPTS, claim
from shop.documents.models import Document, DocumentState
from shop.models import Event
from tests.shop.documents.conftest import NOW, later

pytestmark = pytest.mark.django_db


@pytest.fixture
def claimed(asked: Document) -> Document:
    document = claim(asked.pk, now=NOW, worker="one")
    assert document is not None
    return document


def kinds_of_events() -> list[str]:
    return list(Event.objects.values_list("kind", flat=True))


def test_a_delivered_paper_has_its_file_and_its_hash(claimed: Document, own_media: Path) -> None:
    claimed.record_sequence, claimed.record_hash = 7, "ab"
    assert finish(claimed, b"%PDF one", now=later(seconds=3))
    row = Document.objects.get()
    assert (row.state, row.ready_at, row.lease_until) == (DocumentState.READY, later(seconds=3), None)
    assert row.file.read() == b"%PDF one"
    assert row.sha256 == hashlib.sha256(b"%PDF one").hexdigest()
    assert (row.record_sequence, row.record_hash) == (7, "ab")
    assert [p.name for p in (own_media / "documents").iterdir()] == [f"{row.pk}.pdf"]


def test_the_record_has_the_hash_of_what_was_handed_out(claimed: Document) -> None:
    finish(claimed, b"%PDF one", now=later(seconds=3))
    assert kinds_of_events() == ["document.asked", "document.issued"]
    assert Document.objects.get().sha256.encode() in bytes(Event.objects.last().payload)


def test_a_late_twin_delivers_nothing(claimed: Document, own_media: Path) -> None:
    second = claim(claimed.pk, now=later(minutes=1), worker="two")
    assert second is not None
    assert not finish(claimed, b"%PDF of the first", now=later(minutes=2))
    assert Document.objects.get().state == DocumentState.IN_WORK
    assert list((own_media / "documents").iterdir()) == []
    assert finish(second, b"%PDF of the second", now=later(minutes=3))
    assert not finish(claimed, b"%PDF of the first", now=later(minutes=4))
    assert Document.objects.get().file.read() == b"%PDF of the second"
    assert kinds_of_events() == ["document.asked", "document.issued"]


def test_what_a_dead_attempt_left_on_the_disk_is_cleared(claimed: Document, own_media: Path) -> None:
    folder = own_media / "documents"
    folder.mkdir()
    (folder / f"{claimed.pk}.0.part").write_bytes(b"%PDF ha")
    finish(claimed, b"%PDF whole", now=NOW)
    assert [p.name for p in folder.iterdir()] == [f"{claimed.pk}.pdf"]


def test_a_failure_says_why(claimed: Document) -> None:
    assert fail(claimed, reason="The photo is gone.", now=NOW)
    row = Document.objects.get()
    assert (row.state, row.failure) == (DocumentState.FAILED, "The photo is gone.")
    assert kinds_of_events() == ["document.asked", "document.failed"]


def test_a_late_twin_fails_nothing(claimed: Document) -> None:
    claim(claimed.pk, now=later(minutes=1), worker="two")
    assert not fail(claimed, reason="Too late.", now=later(minutes=2))
    assert Document.objects.get().state == DocumentState.IN_WORK
    assert kinds_of_events() == ["document.asked"]


def test_after_a_mishap_it_waits_to_be_sent_again(claimed: Document) -> None:
    give_back(claimed, now=later(seconds=2))
    row = Document.objects.get()
    assert (row.state, row.lease_until, row.sent_at) == (DocumentState.ASKED, None, later(seconds=2))


def test_a_late_twin_gives_nothing_back(claimed: Document) -> None:
    claim(claimed.pk, now=later(minutes=1), worker="two")
    give_back(claimed, now=later(minutes=2))
    assert Document.objects.get().state == DocumentState.IN_WORK


def test_the_last_attempt_is_not_given_back(asked: Document) -> None:
    Document.objects.update(attempt=ATTEMPTS - 1)
    last = claim(asked.pk, now=NOW, worker="one")
    assert last is not None
    give_back(last, now=NOW)
    row = Document.objects.get()
    assert row.state == DocumentState.FAILED
    assert f"begun {ATTEMPTS} times" in row.failure
