"""PINs are confirmed at one door that locks guessing for a person at a place."""

import datetime as dt
from typing import Any

import pytest
from django.contrib.auth.hashers import check_password, make_password

from shop.guessing import FREE_TRIES, held_back_until
from shop.models import Person, WrongPin
from shop.pins import PinRefused, confirm_pin, fault_of_pin
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


def test_only_whoever_has_the_pepper_too_can_try_pins_on_a_stolen_hash(person: Person, settings: Any) -> None:
    assert "4711" not in person.pin_hash
    assert not check_password("4711", person.pin_hash.removeprefix("peppered$"))
    settings.PIN_PEPPER = "another shop's"
    assert not person.has_pin("4711")


def test_a_pin_from_before_the_pepper_holds_and_is_hashed_anew_at_its_next_use(person: Person) -> None:
    person.pin_hash = make_password("4711")
    person.save()
    assert "not the PIN" in give(person, "4712")
    assert Person.objects.get(pk=person.pk).pin_hash == person.pin_hash
    assert give(person, "4711") == ""
    again = Person.objects.get(pk=person.pk)
    assert again.has_peppered_pin
    assert again.has_pin("4711")


def test_an_address_that_is_wrong_often_waits_twice_as_long_each_time() -> None:
    people = [PersonFactory(pin_hash="x") for _ in range(6)]
    tries = [(people[n // 4], n) for n in range(FREE_TRIES)]
    for each, n in tries:
        confirm_wrongly(each, at=NOON + dt.timedelta(seconds=n))
    last = NOON + dt.timedelta(seconds=FREE_TRIES - 1)
    waits = []
    for _ in range(4):
        until = held_back_until("192.0.2.7", now=last)
        assert until is not None
        waits.append((until - last).total_seconds())
        told = confirm_wrongly(people[5], at=last, place=f"tablet/{len(waits)}")
        assert "Too many wrong tries from this device" in told
        last = until
        confirm_wrongly(people[5], at=last, place=f"tablet/{len(waits)}")
    assert waits == [2, 4, 8, 16]
    assert held_back_until("192.0.2.8", now=last) is None
    assert held_back_until("192.0.2.7", now=last + dt.timedelta(minutes=15)) is None


def confirm_wrongly(person: Person, *, at: dt.datetime, place: str = "tablet/9") -> str:
    with pytest.raises(PinRefused) as refused:
        confirm_pin(person, "0000", place=place, now=at, address="192.0.2.7")
    return refused.value.message


def test_what_was_wrong_long_ago_is_forgotten(person: Person) -> None:
    give(person, "0000")
    give(person, "0000", at=NOON + dt.timedelta(days=2))
    assert WrongPin.objects.count() == 1


@pytest.mark.parametrize(
    "pin",
    ["1111", "1212", "1234", "4321", "7890", "0987", "123123", "1984", "2011", "123", "471147114", "12a4"],
)
def test_a_pin_that_anybody_would_try_first_is_refused(pin: str) -> None:
    assert fault_of_pin(pin)


@pytest.mark.parametrize("pin", ["4711", "8305", "112358", "19840", "55667788"])
def test_any_other_pin_is_good(pin: str) -> None:
    assert fault_of_pin(pin) == ""
