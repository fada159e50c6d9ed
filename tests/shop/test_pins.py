"""PINs are confirmed at one door that locks guessing for a person at a place."""

import datetime as dt

import pytest

from shop.models import Person, WrongPin
from shop.pins import PinRefused, confirm_pin
from tests.factories import NOON, PersonFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def person() -> Person:
    made: Person = PersonFactory(full_name="Test Person")
    made.set_pin("4711")
    made.save()
    return made


def give(person: Person, pin: str, *, at: dt.datetime = NOON, place: str = "tablet/1") -> str:
    """What is said to whoever gives this PIN; empty where it is right."""
    try:
        confirm_pin(person, pin, place=place, now=at)
    except PinRefused as refusal:
        return refusal.message
    return ""


def minutes(count: float) -> dt.datetime:
    return NOON + dt.timedelta(minutes=count)


def test_the_right_pin_confirms_and_leaves_nothing_behind(person: Person) -> None:
    assert give(person, "4711") == ""
    assert not WrongPin.objects.exists()


def test_a_wrong_pin_says_whose_it_is_not(person: Person) -> None:
    assert give(person, "1234") == "This is not the PIN of Test Person"


def test_five_wrong_ones_lock_that_person_there_and_say_until_when(person: Person) -> None:
    for count in range(4):
        assert "not the PIN" in give(person, "0000", at=minutes(count / 2))
    fifth = give(person, "0000", at=minutes(2))
    assert "in 5 min" in fifth
    assert "in 3 min" in give(person, "4711", at=minutes(4.5))


def test_the_lock_ends_after_five_minutes(person: Person) -> None:
    for _ in range(5):
        give(person, "0000")
    assert give(person, "4711", at=minutes(4.99))
    assert give(person, "4711", at=minutes(5)) == ""


def test_after_the_lock_one_wrong_pin_does_not_lock_again(person: Person) -> None:
    for _ in range(5):
        give(person, "0000")
    assert "not the PIN" in give(person, "0000", at=minutes(6))
    assert give(person, "4711", at=minutes(6)) == ""


def test_wrong_ones_spread_over_more_than_five_minutes_do_not_lock(person: Person) -> None:
    for count in range(5):
        assert "not the PIN" in give(person, "0000", at=minutes(count * 1.5))
    assert give(person, "4711", at=minutes(6)) == ""


def test_the_lock_holds_at_that_place_and_for_that_person_alone(person: Person) -> None:
    other: Person = PersonFactory()
    other.set_pin("4712")
    other.save()
    for _ in range(5):
        give(person, "0000")
    assert give(person, "4711", place="tablet/2") == ""
    assert give(other, "4712") == ""


def test_a_locked_person_is_not_told_whether_the_pin_is_right(person: Person) -> None:
    for _ in range(5):
        give(person, "0000")
    assert give(person, "4711", at=minutes(1)) == give(person, "9999", at=minutes(1))


def test_nobody_confirms_as_somebody_without_a_pin_or_gone() -> None:
    assert "has no PIN" in give(PersonFactory(), "")
    gone: Person = PersonFactory(is_active=False)
    gone.set_pin("4711")
    gone.save()
    assert give(gone, "4711")
