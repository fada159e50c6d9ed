"""The short route, for every test of jobs."""

import pytest

from tests.jobs.small_route import SmallRoute


@pytest.fixture
def route(db: None) -> SmallRoute:
    return SmallRoute()
