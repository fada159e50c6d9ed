"""One car the whole way in real Chromium, script switched off, by five desks and a tablet.

One of the longer proofs (`bin/prove`); the suite plays the same steps by the forms and links of the pages.
"""

from collections.abc import Iterator

import pytest
import time_machine
from playwright.sync_api import Browser
from pytest_django.live_server_helper import LiveServer

from tests.browser.cast import DESK, PATIENCE_MS
from tests.browser.scriptless import Scriptless
from tests.jobs import small_route
from tests.jobs.plain_route import Shop, goes_the_whole_way

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def shop(chromium: Browser, live_server: LiveServer) -> Iterator[Shop]:
    """The shop of the short route; its clock is the test's, for it answers from a thread beside the test."""
    contexts = []

    def open_browser() -> Scriptless:
        context = chromium.new_context(viewport=DESK, java_script_enabled=False)
        context.set_default_timeout(PATIENCE_MS)
        contexts.append(context)
        return Scriptless(context.new_page(), live_server.url)

    with time_machine.travel(small_route.NOW, tick=False) as clock:
        yield Shop(clock, open_browser)
        for context in contexts:
            context.close()


def test_one_car_goes_the_whole_way_in_a_browser_without_script(shop: Shop) -> None:
    goes_the_whole_way(shop)
