"""The words beside a row while it is typed."""

import pytest
from django.test import Client
from django.urls import reverse

from parts.models import KitOrder
from shop.models import Entry


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"row1-counted": "3"}, "1 of 4 short"),
        ({"row1-counted": "4"}, "here"),
        ({"row1-counted": "5"}, "Yes, counted again"),
        ({"row1-counted": "some"}, "whole number"),
        ({"row1-damaged": "1"}, "Say how many are good"),
        ({"row1-counted": ""}, "4 on no slip yet"),
    ],
)
def test_the_verdict_stands_beside_the_row(
    counter: Client, order: KitOrder, fields: dict[str, str], words: str
) -> None:
    at = reverse("parts:count_verdict", args=[order.number])
    answer = counter.get(at, {"row": "row1", "slip": "", **fields})
    assert words in answer.content.decode()
    assert "<html" not in answer.content.decode()
    assert not Entry.objects.exists()


def test_a_verdict_on_a_row_that_is_not_there(counter: Client, order: KitOrder) -> None:
    answer = counter.get(reverse("parts:count_verdict", args=[order.number]), {"row": "row99"})
    assert answer.content.decode().strip() == ""
