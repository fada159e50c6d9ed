"""The manager gives tablets to bays and takes them back."""

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import Role, TabletCode
from tests.factories import BayFactory, PersonFactory, TabletFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client: Client) -> Client:
    client.force_login(PersonFactory(role=Role.MANAGER))
    return client


def test_every_open_bay_is_listed_with_its_tablets(desk: Client) -> None:
    tablet = TabletFactory(bay__number=1, bay__name="Test bay one")
    BayFactory(number=2, name="Test bay two")
    BayFactory(number=3, name="Test bay three", is_open=False)
    page = desk.get(reverse("shop:tablet_list")).content.decode()
    assert tablet.name in page
    assert "Test bay two" in page
    assert "Test bay three" not in page


def test_without_bays_it_says_how_to_begin(desk: Client) -> None:
    assert "No bay is open yet" in desk.get(reverse("shop:tablet_list")).content.decode()


def test_a_bay_that_is_not_there_is_refused(desk: Client) -> None:
    BayFactory(number=2)
    answer = desk.post(reverse("shop:tablet_code"), {"bay": "9"})
    assert answer.status_code == 422
    assert "no open bay of that number" in answer.content.decode()
    assert not TabletCode.objects.exists()


@pytest.mark.parametrize("role", [r for r in Role.values if r != Role.MANAGER])
def test_only_the_manager_opens_it(role: str, client: Client) -> None:
    client.force_login(PersonFactory(role=role))
    BayFactory(number=2)
    assert client.get(reverse("shop:tablet_list")).status_code == 403
    assert client.post(reverse("shop:tablet_code"), {"bay": "2"}).status_code == 403
    assert not TabletCode.objects.exists()
