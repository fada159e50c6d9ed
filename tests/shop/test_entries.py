"""The one door: recorded once, answered again, never over what was not seen."""

import datetime as dt
import uuid
from dataclasses import replace
from typing import Any

import pytest

from shop.entries import OTHER_CONTENT, Answer, Envelope, Refused, last_entry, take_in
from shop.models import Entry, Event, Outcome, Person, SignedHow
from tests.factories import TabletFactory

pytestmark = pytest.mark.django_db
NOW = dt.datetime(2026, 3, 2, 15, 0, tzinfo=dt.UTC)


@pytest.fixture
def person() -> Person:
    return Person.objects.create_user("ilse", full_name="Ilse Brandrow", role="fabricator")


@pytest.fixture
def envelope(person: Person) -> Envelope:
    return Envelope(
        id=uuid.uuid4(),
        stream="job/1001",
        subject="C20",
        saw=None,
        kind="reading",
        payload={"value": "29 1/2"},
        signer_id=person.pk,
        signed_how=SignedHow.TURN,
    )


def told(entry: Entry) -> dict[str, str]:
    return {"said": entry.payload["value"]}


def take(envelope: Envelope, minutes: int = 0) -> Answer:
    return take_in(envelope, now=NOW + dt.timedelta(minutes=minutes), handle=told)


def test_an_entry_is_recorded_with_who_when_and_what(envelope: Envelope) -> None:
    answer = take(envelope)
    entry = Entry.objects.get(pk=envelope.id)
    assert answer.accepted
    assert answer.data == {"said": "29 1/2"}
    assert (entry.signer_id, entry.received_at, entry.entered_at) == (envelope.signer_id, NOW, NOW)


def test_the_same_entry_again_gets_the_first_answer_and_is_recorded_once(envelope: Envelope) -> None:
    first = take(envelope)

    def never(entry: Entry) -> dict[str, str]:
        raise AssertionError("handled twice")

    again = take_in(envelope, now=NOW + dt.timedelta(hours=1), handle=never)
    assert again.repeated
    assert (again.outcome, again.data) == (first.outcome, first.data)
    assert Entry.objects.count() == 1


def test_the_same_identity_with_other_content_is_refused_and_both_are_shown(envelope: Envelope) -> None:
    take(envelope)
    answer = take(replace(envelope, payload={"value": "39 1/2"}))
    assert answer.outcome == OTHER_CONTENT
    assert answer.data["first"]["payload"] == {"value": "29 1/2"}
    assert answer.data["second"]["payload"] == {"value": "39 1/2"}
    assert Entry.objects.get().payload == {"value": "29 1/2"}


def test_whoever_has_not_seen_the_last_entry_is_told_what_happened(envelope: Envelope) -> None:
    first = take(envelope)
    second = replace(envelope, id=uuid.uuid4(), payload={"value": "29 9/16"})
    answer = take(second)
    assert answer.outcome == Outcome.CONFLICT
    assert answer.data["happened"]["entry"] == str(first.entry.id if first.entry else None)
    assert answer.data["kept"] == {"value": "29 9/16"}
    assert last_entry("job/1001", "C20") == first.entry


def test_a_second_press_is_the_same_entry_and_leaves_no_conflict(envelope: Envelope) -> None:
    """A page that gave its form a new identity before it went: same hand, same content, same page seen."""
    first = take(envelope)
    again = take(replace(envelope, id=uuid.uuid4(), entered_at=NOW + dt.timedelta(seconds=1)))
    assert again.repeated
    assert (again.outcome, again.entry, again.data) == (first.outcome, first.entry, first.data)
    assert Entry.objects.count() == Event.objects.count() == 1


@pytest.mark.parametrize(
    "other",
    [
        {"payload": {"value": "29 9/16"}},
        {"kind": "witness"},
        {"signed_how": SignedHow.PIN},
        {"saw": uuid.UUID(int=5)},
    ],
)
def test_what_differs_is_no_second_press(envelope: Envelope, other: dict[str, Any]) -> None:
    take(envelope)
    assert take(replace(envelope, id=uuid.uuid4(), **other)).outcome == Outcome.CONFLICT


def test_the_same_from_another_tablet_is_no_second_press(envelope: Envelope) -> None:
    take(envelope)
    second = replace(envelope, id=uuid.uuid4(), tablet_id=TabletFactory().pk)
    assert take(second).outcome == Outcome.CONFLICT


def test_the_same_a_while_later_is_no_second_press(envelope: Envelope) -> None:
    take(envelope)
    assert take(replace(envelope, id=uuid.uuid4()), minutes=1).outcome == Outcome.CONFLICT


def test_having_seen_the_last_entry_is_enough(envelope: Envelope) -> None:
    take(envelope)
    assert take(replace(envelope, id=uuid.uuid4(), saw=envelope.id)).accepted


def test_other_subjects_do_not_stand_in_each_others_way(envelope: Envelope) -> None:
    take(envelope)
    assert take(replace(envelope, id=uuid.uuid4(), subject="C30")).accepted


def test_what_is_refused_leaves_nothing_but_the_refusal(envelope: Envelope, person: Person) -> None:
    def refuse(entry: Entry) -> dict[str, str]:
        Person.objects.filter(pk=person.pk).update(full_name="changed")
        raise Refused("Not yet", data={"reasons": [{"code": "authority"}]})

    answer = take_in(envelope, now=NOW, handle=refuse)
    person.refresh_from_db()
    assert answer.outcome == Outcome.REFUSED
    assert answer.data["message"] == "Not yet"
    assert person.full_name == "Ilse Brandrow"
    assert last_entry("job/1001", "C20") is None
    assert take_in(envelope, now=NOW, handle=told).data == answer.data


def test_an_error_in_the_handling_leaves_nothing_at_all(envelope: Envelope) -> None:
    def fail(entry: Entry) -> dict[str, str]:
        raise KeyError("value")

    with pytest.raises(KeyError):
        take_in(envelope, now=NOW, handle=fail)
    assert not Entry.objects.exists()
    assert not Event.objects.exists()
    assert take(envelope).accepted


def test_each_entry_leaves_an_event_in_its_stream(envelope: Envelope) -> None:
    take(envelope)
    take(replace(envelope, id=uuid.uuid4(), saw=envelope.id))
    assert list(Event.objects.values_list("stream", "sequence", "kind")) == [
        ("job/1001", 1, "entry.reading"),
        ("job/1001", 2, "entry.reading"),
    ]
