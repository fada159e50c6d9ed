"""Bringing kits and slips in at the counter; kit pages; giving the files out again."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from parts.models import KitDefinition, KitOrder, KitRevision, PackingSlip
from shop.revisions import RevisionState
from tests.factories import KitRevisionFactory
from tests.parts.kit_texts import KIT, SLIP

KIT_PAGE = reverse("parts:kit_bring_in")
SLIP_PAGE = reverse("parts:slip_bring_in")


def upload(content: bytes) -> SimpleUploadedFile:
    return SimpleUploadedFile("list.csv", content, content_type="text/csv")


@pytest.mark.parametrize("way", ["file", "text"])
def test_a_kit_is_brought_in_and_shown(counter: Client, way: str) -> None:
    given = {"file": upload(KIT)} if way == "file" else {"text": KIT.decode().replace("\n", "\r\n")}
    answer = counter.post(KIT_PAGE, given, follow=True)
    text = answer.content.decode()
    assert "KIT-T1 A was brought in: 3 lines." in text
    assert "draft" in text
    assert "T1-201, T1-202" in text


def test_a_kit_is_released_at_once_where_asked(counter: Client) -> None:
    counter.post(KIT_PAGE, {"text": KIT.decode(), "release": "on"})
    assert KitRevision.objects.get().state == RevisionState.RELEASED
    again = counter.post(KIT_PAGE, {"text": KIT.decode()}, follow=True)
    assert "is here already with exactly these 3 lines" in again.content.decode()


@pytest.mark.parametrize("way", ["file", "text"])
def test_what_is_wrong_is_listed_and_what_was_given_kept(counter: Client, way: str) -> None:
    wrong = KIT.replace(b",1,,W10,yes", b",many,,W10,perhaps")
    given = {"file": upload(wrong)} if way == "file" else {"text": wrong.decode()}
    answer = counter.post(KIT_PAGE, given | {"release": "on"})
    assert answer.status_code == 422
    text = answer.content.decode()
    assert "Nothing was saved: 2 things are to be put right" in text
    assert "line 2, quantity: Type a whole number of pieces" in text
    assert "line 2, critical: Say yes or no." in text
    assert "KIT-T1,A,Test clip kit,Invented Works,T1-100,Cradle,many,,W10,perhaps" in text
    assert "checked" in text
    assert not KitDefinition.objects.exists()


def test_a_file_that_is_no_text(counter: Client) -> None:
    answer = counter.post(KIT_PAGE, {"file": upload(b"PK\x03\x04\x00\x00")})
    assert answer.status_code == 422
    assert "spreadsheet&#x27;s own file" in answer.content.decode()


def test_an_empty_file(counter: Client) -> None:
    assert "There is nothing in it." in counter.post(KIT_PAGE, {"file": upload(b"")}).content.decode()


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({}, "Choose a file or paste a list."),
        ({"text": "  \n "}, "Choose a file or paste a list."),
        ({"text": "a\x00b"}, "Null characters"),
    ],
)
def test_nothing_given(counter: Client, given: dict[str, str], words: str) -> None:
    answer = counter.post(KIT_PAGE, given)
    assert answer.status_code == 422
    assert words in answer.content.decode()


def test_both_given(counter: Client) -> None:
    answer = counter.post(KIT_PAGE, {"file": upload(KIT), "text": KIT.decode()})
    assert "give one of them" in answer.content.decode()
    assert not KitDefinition.objects.exists()


def test_a_slip_is_brought_in_once(counter: Client, order: KitOrder) -> None:
    answer = counter.post(SLIP_PAGE, {"text": SLIP.decode()}, follow=True)
    assert "Packing slip PS-77 of K-0001 was brought in." in answer.content.decode()
    again = counter.post(SLIP_PAGE, {"text": SLIP.decode()})
    assert again.status_code == 422
    assert "is here already, with the same lines" in again.content.decode()
    assert "K-0001,PS-77,Invented Freight" in again.content.decode()
    assert PackingSlip.objects.count() == 1


def test_files_come_out_as_they_went_in(counter: Client, looker: Client, order: KitOrder) -> None:
    counter.post(SLIP_PAGE, {"text": SLIP.decode()})
    slip = looker.get(reverse("parts:slip_export", args=[PackingSlip.objects.get().pk]))
    kit = looker.get(reverse("parts:kit_export", args=["KIT-T1", "A"]))
    assert slip.content.removeprefix(b"\xef\xbb\xbf") == SLIP
    assert kit.content.removeprefix(b"\xef\xbb\xbf") == KIT
    assert kit["Content-Type"] == "text/csv; charset=utf-8"
    assert kit["Content-Disposition"] == 'attachment; filename="KIT-T1 A.csv"'


def test_a_draft_is_released_after_asking(counter: Client) -> None:
    counter.post(KIT_PAGE, {"text": KIT.decode()})
    at = reverse("parts:kit_release", args=["KIT-T1", "A"])
    assert at in counter.get(reverse("parts:kit", args=["KIT-T1", "A"])).content.decode()
    assert "Release KIT-T1 A?" in counter.get(at).content.decode()
    assert KitRevision.objects.get().state == RevisionState.DRAFT
    for _ in range(2):
        assert counter.post(at).status_code == 302
    assert KitRevision.objects.get().state == RevisionState.RELEASED
    assert at not in counter.get(reverse("parts:kit", args=["KIT-T1", "A"])).content.decode()


@pytest.mark.parametrize("page", [KIT_PAGE, SLIP_PAGE, reverse("parts:kit_release", args=["KIT-T1", "A"])])
def test_whoever_only_looks_may_bring_nothing_in(looker: Client, revision: KitRevision, page: str) -> None:
    assert looker.get(page).status_code == 403
    assert looker.post(page, {"text": KIT.decode()}).status_code == 403


def test_kit_lists_are_shown_with_their_revisions(
    counter: Client, looker: Client, revision: KitRevision
) -> None:
    text = looker.get(reverse("parts:kit_list")).content.decode()
    assert "KIT-T1" in text
    assert "released, 3 lines" in text
    assert KIT_PAGE not in text
    assert KIT_PAGE in counter.get(reverse("parts:kit_list")).content.decode()


def test_no_kit_lists_yet(looker: Client) -> None:
    assert "No kit has been brought in yet." in looker.get(reverse("parts:kit_list")).content.decode()


def test_queries_do_not_grow_with_kits(counter: Client) -> None:
    at = reverse("parts:kit_list")
    KitRevisionFactory()
    counter.get(at)
    with CaptureQueriesContext(connection) as few:
        counter.get(at)
    for _ in range(5):
        KitRevisionFactory()
    with CaptureQueriesContext(connection) as many:
        counter.get(at)
    assert len(few) == len(many)
