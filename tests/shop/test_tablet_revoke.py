"""Taking a tablet back asks first, for it cannot be given back."""

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import Role
from tests.factories import PersonFactory, TabletFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client: Client) -> Client:
    client.force_login(PersonFactory(role=Role.MANAGER))
    return client


def test_taking_back_asks_first(desk: Client) -> None:
    tablet = TabletFactory()
    where = reverse("shop:tablet_revoke", args=[tablet.pk])
    assert "Take this tablet back?" in desk.get(where).content.decode()
    tablet.refresh_from_db()
    assert tablet.revoked_at is None
    desk.post(where)
    tablet.refresh_from_db()
    assert tablet.revoked_at is not None


def test_nobody_but_the_manager_takes_one_back(client: Client) -> None:
    tablet = TabletFactory()
    client.force_login(PersonFactory(role=Role.FABRICATOR))
    assert client.post(reverse("shop:tablet_revoke", args=[tablet.pk])).status_code == 403
    tablet.refresh_from_db()
    assert tablet.revoked_at is None
