"""How far a paper is: a line that asks for itself until the paper has come."""

from dataclasses import replace

import pytest
from django.test import Client
from django.urls import reverse

from shop.documents import kinds
from shop.documents.delivering import fail
from shop.documents.kinds import Subject
from shop.documents.lease import claim, report
from shop.documents.models import Document, DocumentState
from shop.models import Person
from tests.factories import TabletFactory
from tests.shop.documents.conftest import NOW

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client: Client, person: Person) -> Client:
    client.force_login(person)
    return client


def page_of(document: Document) -> str:
    return reverse("documents:document_status", args=[document.pk])


def line(desk: Client, document: Document) -> str:
    headers = {"HX-Request": "true", "HX-Target": f"paper-{document.pk}"}
    answer = desk.get(page_of(document), headers=headers)
    assert answer.status_code == 200
    assert "<html" not in answer.text
    return answer.text


def test_while_it_waits_the_line_asks_for_itself(desk: Client, asked: Document) -> None:
    text = line(desk, asked)
    assert f'hx-get="{page_of(asked)}"' in text
    assert 'hx-trigger="every 700ms"' in text
    assert "Asked for" in text


def test_in_work_it_says_what_and_how_far(desk: Client, asked: Document) -> None:
    claimed = claim(asked.pk, now=NOW, worker="one")
    assert claimed is not None
    report(claimed, done=3, total=9, doing="Setting page 3")
    text = line(desk, asked)
    assert "Setting page 3" in text
    assert "3 of 9" in text
    assert 'class="done" width="3"' in text


def test_ready_it_is_a_link_and_asks_no_more(desk: Client, asked: Document) -> None:
    Document.objects.update(state=DocumentState.READY)
    text = line(desk, asked)
    assert reverse("documents:document_file", args=[asked.pk]) in text
    assert "hx-trigger" not in text
    assert "is ready." in text


def test_failed_it_says_why(desk: Client, asked: Document) -> None:
    claimed = claim(asked.pk, now=NOW, worker="one")
    assert claimed is not None
    fail(claimed, reason="The bench is gone.", now=NOW)
    text = line(desk, asked)
    assert "The bench is gone." in text
    assert "hx-trigger" not in text


def test_without_script_it_is_a_page_with_a_link_to_look_again(desk: Client, asked: Document) -> None:
    answer = desk.get(page_of(asked))
    assert "<html" in answer.text
    assert '<a href="/" data-leave>Bench 1</a>' in answer.text
    assert f'href="{page_of(asked)}">See how far it is<' in answer.text


def test_the_end_is_said_aloud_once_where_readers_listen(desk: Client, asked: Document) -> None:
    assert "hx-swap-oob" not in line(desk, asked)
    Document.objects.update(state=DocumentState.READY)
    assert 'id="paper-said" hx-swap-oob' in line(desk, asked)
    whole = desk.get(page_of(asked)).text
    assert 'role="status"' in whole
    assert "hx-swap-oob" not in whole


def test_there_is_no_page_for_a_paper_that_is_not_there(desk: Client, asked: Document) -> None:
    Document.objects.all().delete()
    assert desk.get(page_of(asked)).status_code == 404


def test_strangers_are_asked_to_sign_in(client: Client, asked: Document) -> None:
    assert client.get(page_of(asked)).status_code == 302


def test_a_tablet_may_look_at_the_papers_of_the_car_in_its_bay(
    client: Client, asked: Document, monkeypatch: pytest.MonkeyPatch
) -> None:
    tablet = TabletFactory()
    monkeypatch.setattr("shop.documents.access.tablet_of", lambda _request: tablet)
    assert client.get(page_of(asked)).status_code == 404
    in_its_bay = replace(kinds._kinds["slip"], subject=lambda _stream: Subject("Bench 1", "/", tablet.bay_id))
    monkeypatch.setitem(kinds._kinds, "slip", in_its_bay)
    assert client.get(page_of(asked)).status_code == 200
