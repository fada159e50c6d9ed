"""The bench: what can be worked out away from a car."""

import pytest
from django.test import Client
from django.urls import reverse

from shop.bench.index import parts
from shop.models import Role
from tests.factories import PersonFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("role", Role)
def test_everyone_signed_in_sees_and_opens_every_sheet(client: Client, role: Role) -> None:
    client.force_login(PersonFactory(role=role))
    page = client.get(reverse("shop:bench")).content.decode()
    keys = [sheet.key for part in parts() for sheet in part.sheets]
    assert len(keys) == len(set(keys)) == 27
    addresses = [reverse("shop:bench_sheet", args=[key]) for key in keys]
    assert all(address in page for address in addresses)
    assert {client.get(address).status_code for address in addresses} == {200}


def test_nobody_else_does(client: Client) -> None:
    assert client.get(reverse("shop:bench")).status_code == 302
