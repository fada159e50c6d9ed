"""The sweep: what lies about is sent again, what was tried too often is given up."""

import datetime as dt
from typing import Any

import pytest
from kombu.exceptions import OperationalError

from shop.documents import sweeping
from shop.documents.lease import ATTEMPTS, claim
from shop.documents.models import Document, DocumentState
from shop.documents.sweeping import sweep
from tests.shop.documents.conftest import NOW, later

pytestmark = pytest.mark.django_db


def test_what_was_just_sent_is_left_alone(asked: Document, sent: list[str]) -> None:
    assert sweep(now=later(seconds=5)) == 0
    assert sent == []


def test_what_was_queued_too_long_is_sent_again(asked: Document, sent: list[str]) -> None:
    assert sweep(now=later(seconds=11)) == 1
    assert sent == [str(asked.pk)]
    assert Document.objects.get().sent_at == later(seconds=11)


def test_each_sending_is_given_its_time(asked: Document, sent: list[str]) -> None:
    for seconds in (11, 16, 21, 26):
        sweep(now=later(seconds=seconds))
    assert len(sent) == 2


def test_what_is_in_good_hands_is_left_alone(asked: Document, sent: list[str]) -> None:
    claim(asked.pk, now=later(minutes=1), worker="one")
    assert sweep(now=later(minutes=1, seconds=14)) == 0


def test_what_a_dead_worker_left_is_sent_again(asked: Document, sent: list[str]) -> None:
    claim(asked.pk, now=NOW, worker="one")
    assert sweep(now=later(seconds=16)) == 1
    assert sent == [str(asked.pk)]


@pytest.mark.parametrize("state", [DocumentState.READY, DocumentState.FAILED])
def test_what_is_at_its_end_is_left_alone(asked: Document, sent: list[str], state: str) -> None:
    Document.objects.update(state=state)
    assert sweep(now=later(days=1)) == 0


def test_what_was_tried_too_often_is_given_up_in_words(asked: Document, sent: list[str]) -> None:
    Document.objects.update(attempt=ATTEMPTS - 1)
    claim(asked.pk, now=NOW, worker="one")
    assert sweep(now=later(seconds=16)) == 0
    row = Document.objects.get()
    assert row.state == DocumentState.FAILED
    assert "came to no end" in row.failure


def test_the_fifth_attempt_is_not_given_up_while_it_runs(asked: Document, sent: list[str]) -> None:
    Document.objects.update(attempt=ATTEMPTS - 1)
    claim(asked.pk, now=NOW, worker="one")
    sweep(now=later(seconds=14))
    assert Document.objects.get().state == DocumentState.IN_WORK


def test_a_broker_that_is_down_leaves_everything_for_the_next_sweep(
    asked: Document, sent: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(_document_id: Any) -> None:
        raise OperationalError("the broker is down")

    with monkeypatch.context() as down:
        down.setattr(sweeping, "send", refuse)
        assert sweep(now=later(seconds=11)) == 0
    assert sweep(now=later(seconds=11) + dt.timedelta(seconds=5)) == 1
