"""A kit list is brought in at the counter, from a file or pasted."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from parts.models import KitDefinition, KitRevision
from shop.revisions import RevisionState
from tests.parts.kit_texts import KIT

KIT_PAGE = reverse("parts:kit_bring_in")


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


def test_a_kit_goes_on_to_its_release_where_asked(counter: Client) -> None:
    led = counter.post(KIT_PAGE, {"text": KIT.decode(), "release": "on"})
    assert led["Location"] == reverse("parts:kit_release", args=["KIT-T1", "A"])
    assert KitRevision.objects.get().state == RevisionState.DRAFT
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


def test_whoever_only_looks_may_not(looker: Client) -> None:
    assert looker.get(KIT_PAGE).status_code == 403
    assert looker.post(KIT_PAGE, {"text": KIT.decode()}).status_code == 403
    assert not KitDefinition.objects.exists()
