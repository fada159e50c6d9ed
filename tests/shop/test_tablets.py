"""A tablet's credential is one thing, a person's turn at it another."""

import pytest
from django.http import HttpRequest, HttpResponse
from django.test import RequestFactory

from shop.models import Person, Role, Tablet
from shop.pins import PinRefused
from shop.tablets import (
    COOKIE,
    assign,
    begin_turn,
    end_turn,
    give_credential,
    revoke,
    tablet_of,
    turn_of,
)
from shop.verification import verify_record
from tests.factories import NOON, BayFactory, PersonFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def manager() -> Person:
    return PersonFactory(role=Role.MANAGER)


@pytest.fixture
def worker() -> Person:
    person: Person = PersonFactory()
    person.set_pin("4711")
    person.save()
    return person


def browser_with(token: str) -> HttpRequest:
    """A browser that was given a credential."""
    response = HttpResponse()
    give_credential(response, token)
    request = RequestFactory().get("/")
    request.COOKIES[COOKIE] = response.cookies[COOKIE].value
    return request


def test_only_the_hash_of_the_credential_is_kept(manager: Person) -> None:
    tablet, token = assign(BayFactory(), by=manager, now=NOON)
    assert token not in str(Tablet.objects.filter(pk=tablet.pk).values().get())


def test_the_browser_that_has_the_credential_is_the_tablet(manager: Person) -> None:
    tablet, token = assign(BayFactory(), by=manager, now=NOON)
    assert tablet_of(browser_with(token)) == tablet


def test_the_cookie_stays_a_year_and_out_of_reach_of_scripts() -> None:
    response = HttpResponse()
    give_credential(response, "x")
    cookie = response.cookies[COOKIE]
    assert cookie["httponly"]
    assert cookie["samesite"] == "Lax"
    assert int(cookie["max-age"]) == 31_536_000


@pytest.mark.parametrize("value", ["", "made-up", "made-up:1abc:signature"])
def test_no_other_browser_is_one(value: str, manager: Person) -> None:
    assign(BayFactory(), by=manager, now=NOON)
    request = RequestFactory().get("/")
    if value:
        request.COOKIES[COOKIE] = value
    assert tablet_of(request) is None


def test_a_revoked_tablet_is_one_no_more_and_its_turn_is_over(manager: Person, worker: Person) -> None:
    tablet, token = assign(BayFactory(), by=manager, now=NOON)
    begin_turn(tablet, worker, "4711", now=NOON)
    revoke(tablet, by=manager, now=NOON)
    assert tablet_of(browser_with(token)) is None
    assert turn_of(tablet) is None


def test_a_turn_takes_the_pin(manager: Person, worker: Person) -> None:
    tablet, _token = assign(BayFactory(), by=manager, now=NOON)
    with pytest.raises(PinRefused):
        begin_turn(tablet, worker, "0000", now=NOON)
    assert turn_of(tablet) is None


def test_the_next_persons_turn_ends_the_one_before(manager: Person, worker: Person) -> None:
    tablet, _token = assign(BayFactory(), by=manager, now=NOON)
    first = begin_turn(tablet, worker, "4711", now=NOON)
    manager.set_pin("4712")
    manager.save()
    second = begin_turn(tablet, manager, "4712", now=NOON)
    first.refresh_from_db()
    assert first.ended_at == NOON
    assert turn_of(tablet) == second


def test_ending_a_turn_twice_changes_nothing(manager: Person, worker: Person) -> None:
    tablet, _token = assign(BayFactory(), by=manager, now=NOON)
    turn = begin_turn(tablet, worker, "4711", now=NOON)
    end_turn(turn, now=NOON)
    end_turn(turn, now=NOON)
    assert turn_of(tablet) is None
    assert verify_record().is_whole
