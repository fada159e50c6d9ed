"""A draft is released after asking."""

from django.test import Client
from django.urls import reverse

from parts.models import KitRevision
from shop.models import Person
from shop.revisions import RevisionState
from tests.parts.kit_texts import KIT

KIT_PAGE = reverse("parts:kit_bring_in")


def test_a_draft_is_released_after_asking(counter: Client, clerk: Person) -> None:
    clerk.set_pin("2580")
    clerk.save()
    counter.post(KIT_PAGE, {"text": KIT.decode()})
    at = reverse("parts:kit_release", args=["KIT-T1", "A"])
    assert at in counter.get(reverse("parts:kit", args=["KIT-T1", "A"])).content.decode()
    assert "Release KIT-T1 A?" in counter.get(at).content.decode()
    assert KitRevision.objects.get().state == RevisionState.DRAFT
    for _ in range(2):
        assert counter.post(at, {"pin": "2580"}).status_code == 302
    assert KitRevision.objects.get().state == RevisionState.RELEASED
    assert at not in counter.get(reverse("parts:kit", args=["KIT-T1", "A"])).content.decode()


def test_whoever_only_looks_may_not(counter: Client, looker: Client) -> None:
    counter.post(KIT_PAGE, {"text": KIT.decode()})
    at = reverse("parts:kit_release", args=["KIT-T1", "A"])
    assert looker.get(at).status_code == 403
    assert looker.post(at).status_code == 403
    assert KitRevision.objects.get().state == RevisionState.DRAFT
