"""Opening a kit order at the counter."""

import pytest
from django.test import Client
from django.urls import reverse

from parts.models import KitOrder, KitRevision
from tests.factories import KitRevisionFactory

ADDRESS = reverse("parts:order_open")


def typed(revision: KitRevision, **changed: str) -> dict[str, str]:
    fields = {
        "number": "K-0042",
        "kit_revision": str(revision.pk),
        "ordered_on": "2030-04-01",
        "expected_on": "2030-04-20",
    }
    return fields | changed


def test_an_order_is_opened(counter: Client, revision: KitRevision) -> None:
    assert 'value="K-0001"' in counter.get(ADDRESS).content.decode()
    answer = counter.post(ADDRESS, typed(revision))
    assert answer["Location"] == reverse("parts:order", args=["K-0042"])
    assert KitOrder.objects.get().expected_on is not None


@pytest.mark.parametrize(
    ("field", "text", "words"),
    [
        ("number", "", "required"),
        ("number", "K/1", "Only letters, digits"),
        ("number", "K" * 21, "at most 20"),
        ("kit_revision", "0", "valid choice"),
        ("ordered_on", "soon", "valid date"),
        ("ordered_on", "2030-13-01", "valid date"),
        ("expected_on", "2029-01-01", "before it was ordered"),
    ],
)
def test_bad_input_stays_on_the_page_with_words(
    counter: Client, revision: KitRevision, field: str, text: str, words: str
) -> None:
    answer = counter.post(ADDRESS, typed(revision, **{field: text}))
    assert answer.status_code == 422
    assert words in " ".join(answer.context["form"].errors[field])
    assert not KitOrder.objects.exists()
    assert answer.context["form"]["expected_on"].value() == typed(revision, **{field: text})["expected_on"]


def test_a_number_in_use_is_said_beside_the_field(counter: Client, order: KitOrder) -> None:
    answer = counter.post(ADDRESS, typed(order.kit_revision, number=order.number))
    assert "There is a kit order K-0001 already." in answer.context["form"].errors["number"]


def test_without_a_released_kit_it_says_how_to_begin(counter: Client) -> None:
    KitRevisionFactory(state="draft")
    assert "No kit is released yet." in counter.get(ADDRESS).content.decode()


def test_whoever_only_looks_is_told_who_does_this(looker: Client) -> None:
    answer = looker.get(ADDRESS)
    assert answer.status_code == 403
    assert "Parts clerk, Manager" in answer.content.decode()
