"""Asking: one row a wish, its own issue number, told of in the record and to the workers."""

from typing import Any
from uuid import uuid4

import pytest

from shop.documents.asking import OtherWishError, ask
from shop.documents.models import Document, DocumentState
from shop.events import append
from shop.models import Event, Person
from shop.verification import verify_record
from tests.shop.documents.conftest import NOW, later

pytestmark = pytest.mark.django_db


def wish(person: Person, stream: str = "bench/1", **more: Any) -> Document:
    return ask("slip", stream, by=person, now=NOW, **{"options": {"paper": "A4"}, **more})


def test_what_is_asked_for_waits_with_issue_one(asked: Document, person: Person) -> None:
    row = Document.objects.get()
    assert (row.state, row.issue, row.asked_by, row.asked_at) == (DocumentState.ASKED, 1, person, NOW)
    assert row.options == {"paper": "A4"}


def test_issues_count_for_each_stream_and_paper(sent: list[str], person: Person) -> None:
    issues = [wish(person).issue, wish(person).issue, wish(person, "bench/2").issue]
    other = ask("label", "bench/1", by=person, now=NOW, options={})
    assert (issues, other.issue) == ([1, 2, 1], 1)


def test_the_workers_are_told_after_the_transaction(
    sent: list[str], person: Person, django_capture_on_commit_callbacks: Any
) -> None:
    with django_capture_on_commit_callbacks() as callbacks:
        document = wish(person)
        assert sent == []
    for callback in callbacks:
        callback()
    assert sent == [str(document.pk)]


@pytest.mark.django_db(transaction=True)
def test_a_broker_that_is_down_does_not_lose_the_wish(
    person: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_args: Any, **_options: Any) -> None:
        raise ConnectionError("the broker is down")

    monkeypatch.setattr("shop.documents.asking.current_app.send_task", refuse)
    document = wish(person)
    assert Document.objects.get() == document


def test_the_same_wish_twice_is_one_paper(sent: list[str], person: Person) -> None:
    identity = uuid4()
    first = wish(person, id=identity)
    assert wish(person, id=identity) == first
    assert Document.objects.count() == 1
    assert Event.objects.filter(kind="document.asked").count() == 1


@pytest.mark.parametrize("other", [{"stream": "bench/2"}, {"options": {"paper": "Letter"}}])
def test_one_identity_is_not_taken_for_two_wishes(
    sent: list[str], person: Person, other: dict[str, Any]
) -> None:
    identity = uuid4()
    wish(person, id=identity)
    with pytest.raises(OtherWishError):
        wish(person, id=identity, **other)
    assert Document.objects.count() == 1


def test_the_record_names_who_asked_by_reference(asked: Document, person: Person) -> None:
    event = Event.objects.get(stream="bench/1")
    assert event.kind == "document.asked"
    assert str(asked.pk).encode() in bytes(event.payload)
    assert person.full_name.encode() not in bytes(event.payload)
    assert not verify_record().findings


def test_an_issue_that_still_holds_may_be_enough(asked: Document, person: Person) -> None:
    assert wish(person, fresh_issue=False) == asked
    assert wish(person, fresh_issue=False, options={"paper": "Letter"}) != asked


def test_an_issue_that_the_record_left_behind_is_not_enough(asked: Document, person: Person) -> None:
    Document.objects.update(state=DocumentState.READY, record_sequence=1)
    assert wish(person, fresh_issue=False) == asked
    append(stream="bench/1", kind="bench.moved", data={}, now=later(minutes=1))
    assert wish(person, fresh_issue=False).issue == 2


def test_a_failed_issue_is_not_enough(asked: Document, person: Person) -> None:
    Document.objects.update(state=DocumentState.FAILED)
    assert wish(person, fresh_issue=False).issue == 2
