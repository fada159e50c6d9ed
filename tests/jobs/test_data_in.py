"""A file is checked, shown as what it would do, then taken in; a wrong one is kept with what is wrong."""

import base64
import re
from html import unescape

import pytest
from django.http import HttpResponse
from django.test import Client

from shop.models import Customer
from tests.jobs.small_route import SmallRoute


@pytest.fixture
def client(route: SmallRoute) -> Client:
    client = Client()
    client.force_login(route.people["ash"])
    return client


def words(answer: HttpResponse) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.content.decode())).split())


def test_what_was_checked_is_taken_in_and_nothing_else(client: Client) -> None:
    text = "reference;name;phone;email\n;Two Step;;two@example.com\n"
    checked = client.post("/data/customers/", {"text": text})
    assert "Checked: nothing is saved yet 1 new" in words(checked)
    assert not Customer.objects.filter(name="Two Step").exists()
    packed = re.search(r'name="checked" value="([^"]+)"', checked.content.decode())
    assert packed is not None
    assert client.post("/data/customers/", {"checked": packed[1]}).status_code == 302
    assert Customer.objects.filter(name="Two Step").count() == 1
    wrong = client.post("/data/customers/", {"text": "reference,name,phone,email\n,,1,\n"})
    assert wrong.status_code == 422
    assert "line 2, name" in words(wrong)
    assert ",,1," in wrong.content.decode()
    for junk in ("", "not packed", base64.b64encode(b"x" * 50).decode()):
        assert client.post("/data/customers/", {"checked": junk}).status_code == 422
    assert client.post("/data/customers/", {}).status_code == 422


def test_what_is_here_already_is_said_and_nothing_offered(client: Client) -> None:
    there = client.get("/data/people.yaml").content.decode()
    answer = client.post("/data/people/", {"text": there})
    assert "Everything in the file is here already" in words(answer)
    assert 'name="checked"' not in answer.content.decode()


def test_there_is_no_other_table(client: Client) -> None:
    assert client.get("/data/nothing/").status_code == 404
