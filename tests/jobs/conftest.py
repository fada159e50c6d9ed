"""The short route, for every test of jobs."""

import pytest

from tests.jobs.desk import Desk
from tests.jobs.small_route import SmallRoute


@pytest.fixture
def route(db: None) -> SmallRoute:
    return SmallRoute()


@pytest.fixture
def desk(route: SmallRoute) -> Desk:
    """The service writer's."""
    return Desk(route, "wren")
