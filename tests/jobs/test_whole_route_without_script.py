"""One car the whole way without script, by what stands in the pages that are served."""

import pytest
import time_machine

from tests.jobs import small_route
from tests.jobs.plain_route import Shop, goes_the_whole_way
from tests.plain_browser import PlainBrowser

pytestmark = pytest.mark.django_db


def test_one_car_goes_the_whole_way_without_script(db: None) -> None:
    with time_machine.travel(small_route.NOW, tick=False) as clock:
        goes_the_whole_way(Shop(clock, PlainBrowser))
