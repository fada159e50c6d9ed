"""The counter: a clerk signed in, a kit, an order on its way."""

import pytest
from django.test import Client

from parts.kit_files import bring_in_kit
from parts.models import KitOrder, KitRevision
from shop.models import Person, Role
from tests.factories import NOON, KitOrderFactory, PersonFactory
from tests.parts.kit_texts import KIT


@pytest.fixture
def clerk(db: None) -> Person:
    return PersonFactory(role=Role.PARTS_CLERK, full_name="Clerk of the Test Shop")


@pytest.fixture
def counter(clerk: Person) -> Client:
    """A browser at which the clerk is signed in."""
    client = Client()
    client.force_login(clerk)
    return client


@pytest.fixture
def looker(db: None) -> Client:
    """A browser of somebody who may look and not write."""
    client = Client()
    client.force_login(PersonFactory(role=Role.FABRICATOR))
    return client


@pytest.fixture
def revision(clerk: Person) -> KitRevision:
    return bring_in_kit(KIT, by=clerk, now=NOON, release=True)


@pytest.fixture
def order(revision: KitRevision) -> KitOrder:
    return KitOrderFactory(number="K-0001", kit_revision=revision)
