"""A page left open longer than its sign-in: what was typed is kept, looked at and sent; nothing is lost."""

import re
from html import unescape

import pytest
from django.test import Client
from django.urls import reverse

from jobs.models import EstimateLine
from jobs.money.estimates import mark_of
from shop.models import Person
from tests.jobs.money.till import sheet_post
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db
PASSWORD = "a long enough password"
LINE = ("labour", "Ärger: שלום 🚗 <b>", "2.5", "95.00")


@pytest.fixture
def route(db: None) -> SmallRoute:
    route = SmallRoute()
    for name in ("wren", "ash"):
        route.people[name].set_password(PASSWORD)
        route.people[name].save()
    return route


@pytest.fixture
def typed(route: SmallRoute) -> dict[str, str]:
    return {**sheet_post(LINE, seen=mark_of(route.job)), "do": "keep", "pin": "4711"}


def at(route: SmallRoute) -> str:
    return reverse("jobs:estimate_draft", args=[route.job.number])


def hidden(page: str) -> dict[str, str]:
    """The hidden fields of a page's form."""
    found = re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', page)
    return {unescape(name): unescape(value) for name, value in found}


def test_what_was_typed_overnight_is_kept_through_signing_in(
    client: Client, route: SmallRoute, typed: dict[str, str]
) -> None:
    asked = client.post(at(route), typed)
    page = asked.content.decode()
    assert asked.status_code == 401
    assert asked["HX-Retarget"] == "body"
    assert "What you had entered is kept" in page
    wrong = client.post(reverse("shop:sign_in"), {**hidden(page), "username": "wren", "password": "no"})
    assert wrong.status_code == 422
    signed = client.post(
        reverse("shop:sign_in"), {**hidden(wrong.content.decode()), "username": "wren", "password": PASSWORD}
    )
    shown = signed.content.decode()
    assert "Ärger: שלום 🚗 &lt;b&gt;" in shown
    assert "4711" not in shown
    assert f'action="{at(route)}"' in shown
    assert not EstimateLine.objects.exists()
    sent = hidden(shown)
    assert client.post(at(route), sent).status_code == 302
    assert EstimateLine.objects.get().text == LINE[1]


def test_a_page_from_before_somebody_else_signed_in_sends_nothing_by_itself(
    route: SmallRoute, typed: dict[str, str]
) -> None:
    """The token of the page is of the sign-in before; the page that answers says who is signed in now."""
    client = Client(enforce_csrf_checks=True)
    client.force_login(route.people["wren"])
    old = hidden(client.get(at(route)).content.decode())["csrfmiddlewaretoken"]
    client.post(reverse("shop:sign_out"), {"csrfmiddlewaretoken": old})
    client.force_login(route.people["ash"])
    client.cookies["csrftoken"] = "x" * 32
    late = client.post(at(route), {**typed, "csrfmiddlewaretoken": old})
    page = late.content.decode()
    assert late.status_code == 409
    assert "Signed in: Ash" in page
    assert "Ärger" in page
    assert not EstimateLine.objects.exists()
    assert client.post(at(route), hidden(page)).status_code == 302
    assert EstimateLine.objects.get().text == LINE[1]


def test_another_sites_form_is_offered_to_nobody(route: SmallRoute, typed: dict[str, str]) -> None:
    client = Client(enforce_csrf_checks=True)
    assert client.post(at(route), typed).status_code == 403
    client.force_login(route.people["wren"])
    forged = client.post(at(route), typed, headers={"origin": "https://elsewhere.invalid"})
    assert forged.status_code == 403
    assert "Ärger" not in forged.content.decode()


@pytest.mark.parametrize("unsent", ["", "rubbish", "eyJ0byI6Ii8ifQ:1:x"])
def test_what_we_did_not_write_is_not_sent_on(client: Client, route: SmallRoute, unsent: str) -> None:
    told = {"username": "wren", "password": PASSWORD, "unsent": unsent}
    assert client.post(reverse("shop:sign_in"), told).status_code == 302
    assert Person.objects.get(username="wren").last_login is not None
