"""How a shop begins: somebody takes themselves in, with the code that the machine shows."""

from io import StringIO
from typing import Any

import pytest
from django.core.management import call_command
from django.test import Client
from django.urls import reverse

from shop.first_manager import first_code
from shop.management.commands import make_ready
from shop.models import Person, Role, ShopSettings
from shop.verification import verify_record
from tests.factories import PersonFactory

pytestmark = pytest.mark.django_db
PAGE = "/begin/"


def typed(**changed: str) -> dict[str, str]:
    return {
        "code": first_code(),
        "shop": "Test Chassis",
        "zone": "Europe/Berlin",
        "full_name": "First Person",
        "username": "first",
        "password": "a long word for the desk",
        "password_again": "a long word for the desk",
        "pin": "4711",
        "pin_again": "4711",
        **changed,
    }


def test_with_nobody_in_the_shop_signing_in_leads_to_its_beginning(client: Client) -> None:
    assert client.get("/", follow=True).redirect_chain[-1][0] == PAGE


def test_the_first_manager_is_taken_in_and_signed_in(client: Client) -> None:
    answer = client.post(PAGE, typed())
    assert answer.headers["Location"] == reverse("shop:home")
    person = Person.objects.get()
    assert (person.role, person.full_name, person.is_superuser) == (Role.MANAGER, "First Person", True)
    assert person.has_pin("4711")
    assert person.check_password("a long word for the desk")
    assert (ShopSettings.current().name, ShopSettings.current().zone) == ("Test Chassis", "Europe/Berlin")
    assert client.get("/shop/people/").status_code == 200
    assert verify_record().is_whole


@pytest.mark.parametrize("as_typed", [str.lower, lambda code: f" {code.replace('-', ' ')} "])
def test_a_code_is_known_however_it_is_typed(as_typed: Any, client: Client) -> None:
    assert client.post(PAGE, typed(code=as_typed(first_code()))).status_code == 302


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"code": "AAAA-AAAA"}, "This is not the code"),
        ({"code": "Ж" * 8}, "This is not the code"),
        ({"zone": "Nowhere/Town"}, "There is no time zone of that name"),
        ({"zone": "../etc/passwd"}, "There is no time zone of that name"),
        ({"username": "no blanks"}, "Enter a valid username"),
        ({"password": "first", "password_again": "first"}, "too short"),
        ({"password_again": "another word for it"}, "The two are not the same"),
        ({"pin": "1234", "pin_again": "1234"}, "one of the first that anybody tries"),
        ({"pin_again": "4712"}, "The two are not the same"),
        ({"pin": "", "pin_again": ""}, "A PIN is four to eight digits"),
        ({"full_name": ""}, "Enter your name"),
    ],
)
def test_what_is_wrong_is_told_and_what_was_typed_stays(
    changed: dict[str, str], told: str, client: Client
) -> None:
    answer = client.post(PAGE, typed(**changed))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert told in page
    assert 'value="Test Chassis"' in page
    assert not Person.objects.exists()


def test_guessing_the_code_is_held_back(client: Client) -> None:
    for _ in range(15):
        client.post(PAGE, typed(code="AAAA-AAAA"))
    assert "Too many wrong tries" in client.post(PAGE, typed()).content.decode()
    assert not Person.objects.exists()


def test_once_there_is_somebody_the_code_opens_nothing(client: Client) -> None:
    PersonFactory()
    assert client.get(PAGE).headers["Location"] == reverse("shop:home")
    assert client.post(PAGE, typed()).headers["Location"] == reverse("shop:home")
    assert Person.objects.count() == 1


def test_starting_without_the_demo_tells_page_and_code(
    settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings.DEMO = False
    call = make_ready.call_command
    monkeypatch.setattr(make_ready, "collect_static", lambda: None)
    monkeypatch.setattr(make_ready, "call_command", lambda n, **o: None if n == "migrate" else call(n, **o))
    said = StringIO()
    call_command("make_ready", stdout=said)
    assert f"/begin/ with the code {first_code()}" in said.getvalue()
    assert not Person.objects.exists()
    PersonFactory()
    said = StringIO()
    call_command("make_ready", stdout=said)
    assert "code" not in said.getvalue()
