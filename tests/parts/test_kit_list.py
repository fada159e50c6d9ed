"""Every kit with its revisions."""

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from parts.models import KitRevision
from tests.factories import KitRevisionFactory

KIT_PAGE = reverse("parts:kit_bring_in")


def test_kit_lists_are_shown_with_their_revisions(
    counter: Client, looker: Client, revision: KitRevision
) -> None:
    text = looker.get(reverse("parts:kit_list")).content.decode()
    assert "KIT-T1" in text
    assert "released, 3 lines" in text
    assert KIT_PAGE not in text
    assert KIT_PAGE in counter.get(reverse("parts:kit_list")).content.decode()


def test_no_kit_lists_yet(looker: Client) -> None:
    assert "There is no kit list yet." in looker.get(reverse("parts:kit_list")).content.decode()


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
