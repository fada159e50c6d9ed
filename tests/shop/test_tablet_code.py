"""A tablet is given to a bay by a code that works once, for ten minutes, for whoever stands at the device."""

import datetime as dt
import re

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import Bay, Event, Person, Role, Tablet, TabletCode
from shop.tablet_codes import HOLDS_FOR, LETTERS, CodeRefused, make_code, redeem
from shop.tablets import COOKIE, revoke
from shop.verification import verify_record
from tests.factories import NOON, BayFactory, PersonFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def manager() -> Person:
    return PersonFactory(role=Role.MANAGER)


@pytest.fixture
def bay() -> Bay:
    return BayFactory(number=2, name="Test bay")


def refusal(code: str, *, at: dt.datetime = NOON, address: str = "") -> str:
    with pytest.raises(CodeRefused) as refused:
        redeem(code, address=address, now=at)
    return refused.value.message


def test_whoever_types_the_code_at_a_device_makes_it_the_tablet(manager: Person, bay: Bay) -> None:
    desk, device = Client(), Client()
    desk.force_login(manager)
    page = desk.post(reverse("shop:tablet_code"), {"bay": "2", "name": "By the press"})
    (code,) = re.findall(r'class="one-time-code">([^<]+)<', page.content.decode())
    assert device.get("/tablet/").status_code == 403
    answer = device.post(reverse("shop:tablet_redeem"), {"code": code.lower().replace(" ", "-")})
    assert answer.headers["Location"] == "/tablet/"
    assert device.cookies[COOKIE]["httponly"]
    assert device.get("/tablet/").status_code == 200
    tablet = Tablet.objects.get()
    assert (tablet.name, tablet.bay, tablet.assigned_by) == ("By the press", bay, manager)
    assert "sessionid" not in device.cookies or not device.session.get("_auth_user_id")
    revoke(tablet, by=manager, now=NOON)
    assert device.get("/tablet/").status_code == 403


def test_the_code_is_eight_letters_and_digits_that_look_like_no_others(manager: Person, bay: Bay) -> None:
    made, code = make_code(bay, name="", by=manager, now=NOON)
    assert re.fullmatch(f"[{LETTERS}]{{4}} [{LETTERS}]{{4}}", code)
    assert not set("0O1IL2Z5S8B") & set(LETTERS)
    kept = str(TabletCode.objects.values().get(pk=made.pk))
    assert code not in kept
    assert code.replace(" ", "") not in kept


def test_it_works_once_and_for_ten_minutes(manager: Person, bay: Bay) -> None:
    _made, first = make_code(bay, name="", by=manager, now=NOON)
    _made, second = make_code(bay, name="", by=manager, now=NOON)
    redeem(first, address="", now=NOON + HOLDS_FOR - dt.timedelta(seconds=1))
    assert "used already" in refusal(first)
    assert "run out" in refusal(second, at=NOON + HOLDS_FOR)
    assert "no such code" in refusal("AAAA AAAA")
    assert "Enter the code" in refusal(" - ")
    assert Tablet.objects.count() == 1


def test_a_code_of_somebody_who_left_or_of_a_closed_bay_makes_no_tablet(manager: Person, bay: Bay) -> None:
    _made, code = make_code(bay, name="", by=manager, now=NOON)
    Person.objects.filter(pk=manager.pk).update(is_active=False)
    assert "does not hold any more" in refusal(code)
    Person.objects.filter(pk=manager.pk).update(is_active=True)
    Bay.objects.filter(pk=bay.pk).update(is_open=False)
    assert "does not hold any more" in refusal(code)


def test_guessing_is_held_back_by_address_even_with_the_right_code(manager: Person, bay: Bay) -> None:
    _made, code = make_code(bay, name="", by=manager, now=NOON)
    for _ in range(15):
        refusal("AAAA AAAA", address="192.0.2.7")
    assert "Too many wrong tries" in refusal(code, address="192.0.2.7")
    redeem(code, address="192.0.2.8", now=NOON)


def test_a_wrong_code_is_told_beside_the_field(client: Client, bay: Bay) -> None:
    page = client.post(reverse("shop:tablet_redeem"), {"code": "AAAA AAAA"})
    assert page.status_code == 422
    assert "There is no such code" in page.content.decode()


def test_a_device_that_is_a_tablet_already_leaves_its_bay(manager: Person, bay: Bay, client: Client) -> None:
    for number in (bay.number, BayFactory(number=3).number):
        _made, code = make_code(
            Bay.objects.get(number=number), name="", by=manager, now=dt.datetime.now(dt.UTC)
        )
        client.post(reverse("shop:tablet_redeem"), {"code": code})
    assert Tablet.objects.get(revoked_at=None).bay.number == 3


def test_each_step_is_in_the_record(manager: Person, bay: Bay) -> None:
    _made, code = make_code(bay, name="", by=manager, now=NOON)
    redeem(code, address="", now=NOON)
    assert list(Event.objects.values_list("kind", flat=True)) == ["tablet_code.made", "tablet.assigned"]
    assert verify_record().is_whole
