"""A cradle told how to move conforms the second time; a fire watch outlives a closed tablet."""

import datetime as dt
import re
from collections.abc import Iterator

import pytest
import time_machine
from playwright.sync_api import Browser, Page, expect
from pytest_django.live_server_helper import LiveServer

from shop.tablets import COOKIE
from tests.jobs import small_route
from tests.jobs.bay import Bay
from tests.jobs.cradle_files import CRADLE_PROCEDURE
from tests.jobs.desk import give_pins
from tests.jobs.small_route import NOW, SmallRoute, assert_accepted
from tests.jobs.test_cradle_position import readings

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
STARTED = re.compile(r"[0-9]+:[0-5][0-9]")


@pytest.fixture
def route(monkeypatch: pytest.MonkeyPatch, live_server: LiveServer) -> Iterator[SmallRoute]:
    monkeypatch.setattr(small_route, "PROCEDURE", CRADLE_PROCEDURE)
    with time_machine.travel(NOW, tick=True):
        found = SmallRoute()
        give_pins(found)
        found.up_to("W20")
        assert_accepted(found.send("start", "W20", "fenn"))
        assert_accepted(found.read("W20.1"))
        yield found


def tablet(chromium: Browser, server: LiveServer, bay: Bay, where: str) -> Page:
    """The bay's tablet, opened; its cookie is the one that it was given."""
    context = chromium.new_context(viewport={"width": 1024, "height": 768})
    value = bay.client.cookies[COOKIE].value
    context.add_cookies([{"name": COOKIE, "value": value, "url": server.url}])
    page = context.new_page()
    page.goto(f"{server.url}/tablet/{bay.route.job.number}/{where}")
    return page


def measure(page: Page, read: dict[str, str]) -> None:
    section = page.locator("section[id='W20.2']")
    section.locator("label", has_text="TP-1").first.click()
    for name, value in read.items():
        if name != "instrument":
            section.locator(f"[name=p_{name}]").fill(value)
    page.get_by_role("button", name="Record", exact=True).click()
    page.wait_for_load_state()


def test_the_cradle_is_told_how_to_move_and_the_watch_goes_on(
    chromium: Browser, live_server: LiveServer, route: SmallRoute
) -> None:
    bay = Bay(route)
    page = tablet(chromium, live_server, bay, "W20/#W20.2")
    measure(page, readings(ahead=0.5))
    told = page.locator("section[id='W20.2'] .verdict-place")
    # The tape is read to 1/32 in, so the fit may be half of that off.
    expect(told).to_contain_text(re.compile(r"To put it right: move it (1/2|15/32) in back"))
    expect(told.get_by_role("img", name=re.compile("drawn [0-9]+ times"))).to_be_visible()
    decided = {"nonconformance": "1", "disposition": "rework", "reason": "Cut the tacks"}
    assert_accepted(route.send("disposition", "W20", "lind", "pin", **decided))
    page.reload()
    measure(page, readings())
    expect(page.locator("section[id='W20.2'] [data-verdict=conforms]")).to_be_visible()

    assert_accepted(route.send("finish", "W20", "fenn", "pin"))
    assert_accepted(route.send("start", "W30", "fenn"))
    assert_accepted(route.read("W30.1"))
    assert_accepted(route.read("W30.2"))
    page.goto(f"{live_server.url}/tablet/{route.job.number}/W30/#W30.3")
    expect(page.locator("[data-watch-left]")).to_have_text(STARTED)
    page.context.close()
    with time_machine.travel(NOW + dt.timedelta(minutes=62), tick=True):
        again = tablet(chromium, live_server, bay, "W30/#W30.3")
        expect(again.locator("section[id='W30.3']")).to_contain_text("Who kept the watch")
        expect(again.locator("[data-watch-left]")).to_have_count(0)
        again.context.close()
