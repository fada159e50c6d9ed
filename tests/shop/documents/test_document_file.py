"""The paper itself: shown in the browser, sent once, only to the people of the shop."""

import pytest
from django.test import Client
from django.urls import reverse

from shop.documents.delivering import finish
from shop.documents.lease import claim
from shop.documents.models import Document
from shop.models import Person
from tests.shop.documents.conftest import NOW

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client: Client, person: Person) -> Client:
    client.force_login(person)
    return client


@pytest.fixture
def ready(asked: Document) -> Document:
    claimed = claim(asked.pk, now=NOW, worker="one")
    assert claimed is not None
    finish(claimed, b"%PDF one", now=NOW)
    return Document.objects.get()


def address(document: Document) -> str:
    return reverse("documents:document_file", args=[document.pk])


def test_it_is_shown_in_the_browser_under_a_name_to_find_again(desk: Client, ready: Document) -> None:
    answer = desk.get(address(ready))
    assert b"".join(answer) == b"%PDF one"
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == 'inline; filename="slip-bench-1-issue-1.pdf"'


def test_it_is_not_sent_again_to_who_has_it(desk: Client, ready: Document) -> None:
    etag = desk.get(address(ready))["ETag"]
    assert etag == f'"{ready.sha256}"'
    assert desk.get(address(ready), headers={"If-None-Match": etag}).status_code == 304


def test_no_cache_on_the_way_keeps_it(desk: Client, ready: Document) -> None:
    assert desk.get(address(ready))["Cache-Control"] == "private, no-cache"


def test_before_it_is_ready_it_leads_to_how_far_it_is(desk: Client, asked: Document) -> None:
    answer = desk.get(address(asked))
    assert answer["Location"] == reverse("documents:document_status", args=[asked.pk])


def test_strangers_get_nothing(client: Client, ready: Document) -> None:
    assert client.get(address(ready)).status_code == 302
    assert client.get(address(ready), headers={"If-None-Match": f'"{ready.sha256}"'}).status_code == 302
