"""Claiming: one at a time, for as long as the lease is renewed, told apart by the attempt number."""

import datetime as dt
import threading
from uuid import uuid4

import pytest
from django.db import OperationalError

from shop.documents import lease
from shop.documents.lease import (
    ATTEMPTS,
    LEASE,
    LeaseLostError,
    claim,
    keep_renewing,
    renew,
    report,
)
from shop.documents.models import Document, DocumentState
from tests.shop.documents.conftest import NOW, later

pytestmark = pytest.mark.django_db


def taken(document: Document, at: dt.datetime = NOW) -> Document:
    claimed = claim(document.pk, now=at, worker="one")
    assert claimed is not None
    return claimed


class Rounds(threading.Event):
    """A stop that comes after so many rounds, without waiting."""

    def __init__(self, rounds: int) -> None:
        super().__init__()
        self.left = rounds
        self.waits: list[float | None] = []

    def wait(self, timeout: float | None = None) -> bool:
        self.waits.append(timeout)
        self.left -= 1
        return self.left < 0


def test_a_claim_takes_the_document_into_work(asked: Document) -> None:
    claimed = taken(asked)
    assert (claimed.state, claimed.attempt, claimed.lease_until) == (DocumentState.IN_WORK, 1, NOW + LEASE)


def test_of_two_that_claim_one_gets_it(asked: Document) -> None:
    taken(asked)
    assert claim(asked.pk, now=later(seconds=1), worker="two") is None
    assert Document.objects.get().attempt == 1


def test_a_lease_that_ran_out_may_be_claimed(asked: Document) -> None:
    taken(asked)
    second = claim(asked.pk, now=NOW + LEASE + dt.timedelta(microseconds=1), worker="two")
    assert second is not None
    assert second.attempt == 2


def test_a_lease_holds_until_its_end(asked: Document) -> None:
    taken(asked)
    assert claim(asked.pk, now=NOW + LEASE, worker="two") is None


@pytest.mark.parametrize("state", [DocumentState.READY, DocumentState.FAILED])
def test_nothing_is_left_to_claim_at_the_end(asked: Document, state: str) -> None:
    Document.objects.update(state=state)
    assert claim(asked.pk, now=later(days=1), worker="one") is None


def test_nobody_claims_what_is_not_there(db: None) -> None:
    assert claim(uuid4(), now=NOW, worker="one") is None


def test_attempts_are_capped(asked: Document) -> None:
    Document.objects.update(attempt=ATTEMPTS)
    assert claim(asked.pk, now=NOW, worker="one") is None


def test_renewing_lengthens_the_lease(asked: Document) -> None:
    claimed = taken(asked)
    assert renew(claimed, now=later(seconds=5))
    assert Document.objects.get().lease_until == later(seconds=5) + LEASE


def test_a_twin_renews_nothing_and_reports_nothing(asked: Document) -> None:
    first = taken(asked)
    taken(asked, later(minutes=1))
    before = Document.objects.values().get()
    assert not renew(first, now=later(minutes=1))
    with pytest.raises(LeaseLostError):
        report(first, done=1, total=2, doing="Setting page 1")
    assert Document.objects.values().get() == before


def test_a_report_says_what_and_how_far(asked: Document) -> None:
    report(taken(asked), done=3, total=9, doing="Setting page 3")
    row = Document.objects.get()
    assert (row.progress_done, row.progress_total, row.doing) == (3, 9, "Setting page 3")


def test_the_lease_is_renewed_at_most_every_five_seconds_until_told_to_stop(asked: Document) -> None:
    claimed = taken(asked)
    stop = Rounds(3)
    keep_renewing(claimed, stop, iter([later(seconds=5), later(seconds=10), later(seconds=15)]).__next__)
    assert Document.objects.get().lease_until == later(seconds=15) + LEASE
    assert stop.waits == [5.0] * 4


def test_renewing_stops_when_the_lease_is_lost(asked: Document) -> None:
    claimed = taken(asked)
    taken(asked, later(minutes=1))
    stop = Rounds(100)
    keep_renewing(claimed, stop, lambda: later(minutes=2))
    assert stop.left == 99


def test_a_busy_database_does_not_end_the_renewing(asked: Document, monkeypatch: pytest.MonkeyPatch) -> None:
    claimed = taken(asked)
    answers = iter([OperationalError("database is locked"), True])

    def renewed(_document: Document, *, now: dt.datetime) -> bool:
        answer = next(answers)
        if isinstance(answer, Exception):
            raise answer
        return answer

    monkeypatch.setattr(lease, "renew", renewed)
    keep_renewing(claimed, Rounds(2), lambda: NOW)
    assert next(answers, None) is None
