"""Asking for a paper from a page: once, in the size chosen, with and without script."""

from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shop.documents.models import Document, DocumentState
from shop.events import append
from shop.models import Person
from tests.shop.documents.conftest import NOW

pytestmark = pytest.mark.django_db
ASK = reverse("documents:document_ask")


@pytest.fixture
def desk(client: Client, person: Person, slip: None, sent: list[str]) -> Client:
    client.force_login(person)
    return client


def wish(**more: Any) -> dict[str, Any]:
    return {"id": uuid4(), "kind": "slip", "stream": "bench/1", "paper": "A4", **more}


def test_the_page_offers_the_sizes_with_the_shops_own_chosen(desk: Client) -> None:
    answer = desk.get(ASK, {"kind": "slip", "stream": "bench/1"})
    form = answer.context["form"]
    assert form["paper"].value() == "Letter"
    assert "Not asked for yet" in answer.text


@pytest.mark.parametrize("asked", [{"kind": "slip", "stream": "job/1"}, {"kind": "poster"}, {}])
def test_there_is_no_page_for_a_paper_that_cannot_be(desk: Client, asked: dict[str, str]) -> None:
    assert desk.get(ASK, asked).status_code == 404


def test_asking_leads_to_the_page_that_tells_how_far_it_is(desk: Client, person: Person) -> None:
    answer = desk.post(ASK, wish(paper="Letter"))
    document = Document.objects.get()
    assert (document.asked_by, document.options) == (person, {"paper": "Letter"})
    assert answer.status_code == 302
    assert answer["Location"] == reverse("documents:document_status", args=[document.pk])


def test_a_form_sent_twice_asks_once(desk: Client) -> None:
    form = wish()
    first, second = desk.post(ASK, form), desk.post(ASK, form)
    assert first["Location"] == second["Location"]
    assert Document.objects.count() == 1


def test_with_script_the_list_comes_back_in_place(desk: Client) -> None:
    answer = desk.post(ASK, wish(), headers={"HX-Request": "true", "HX-Target": "papers-slip"})
    document = Document.objects.get()
    assert "<html" not in answer.text
    assert f'id="paper-{document.pk}"' in answer.text
    assert 'hx-trigger="every 700ms"' in answer.text


def test_the_form_that_comes_back_is_a_new_wish(desk: Client) -> None:
    form = wish()
    answer = desk.post(ASK, form, headers={"HX-Request": "true", "HX-Target": "papers-slip"})
    assert answer.context["form"]["id"].value() != form["id"]


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"paper": "A0"}, "There is no such paper size here; choose A4 or Letter."),
        ({"paper": ""}, "Choose a paper size."),
        ({"kind": "poster"}, "There is no such paper."),
        ({"stream": "job/1"}, "There is no such paper about job/1."),
        ({"stream": ""}, "There is no such paper about –."),
    ],
)
@pytest.mark.parametrize("headers", [{}, {"HX-Request": "true", "HX-Target": "papers-slip"}])
def test_a_wish_that_makes_no_sense_is_answered_in_words(
    desk: Client, wrong: dict[str, str], said: str, headers: dict[str, str]
) -> None:
    answer = desk.post(ASK, wish(**wrong), headers=headers)
    assert answer.status_code == 422
    assert said in answer.text
    assert not Document.objects.exists()


def test_one_form_is_not_taken_for_two_papers(desk: Client) -> None:
    form = wish()
    desk.post(ASK, form)
    answer = desk.post(ASK, {**form, "stream": "bench/2"})
    assert answer.status_code == 409
    assert "was used for another paper already" in answer.text
    assert Document.objects.count() == 1


def test_strangers_are_asked_to_sign_in(client: Client, slip: None, db: None) -> None:
    answer = client.post(ASK, wish())
    assert answer.status_code == 302
    assert reverse("shop:sign_in") in answer["Location"]
    assert not Document.objects.exists()


def test_a_paper_that_the_record_left_behind_says_so(desk: Client) -> None:
    desk.post(ASK, wish())
    Document.objects.update(state=DocumentState.READY, record_sequence=1)
    page = {"kind": "slip", "stream": "bench/1"}
    assert "has changed since" not in desk.get(ASK, page).text
    append(stream="bench/1", kind="bench.moved", data={}, now=NOW)
    assert "The record has changed since this paper was made." in desk.get(ASK, page).text


def test_another_paper_of_the_same_thing_does_not_make_the_first_old(desk: Client) -> None:
    desk.post(ASK, wish())
    Document.objects.update(state=DocumentState.READY, record_sequence=1)
    desk.post(ASK, wish(paper="Letter"))
    assert "has changed since" not in desk.get(ASK, {"kind": "slip", "stream": "bench/1"}).text


def test_queries_do_not_grow_with_issues(desk: Client, django_assert_num_queries: Any) -> None:
    page = {"kind": "slip", "stream": "bench/1"}
    desk.post(ASK, wish())
    with CaptureQueriesContext(connection) as captured:
        desk.get(ASK, page)
    few = len(captured)
    for _issue in range(6):
        desk.post(ASK, wish())
    with django_assert_num_queries(few):
        answer = desk.get(ASK, page)
    assert "4 earlier issues" in answer.text
