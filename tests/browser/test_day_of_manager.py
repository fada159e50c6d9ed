"""The manager's day: the week, a car moved, somebody put onto it, a bay closed, a tablet, the settings."""

import datetime as dt
import re

import pytest
from playwright.sync_api import expect

from tests.browser.cast import Cast, answered

pytestmark = [pytest.mark.browser, pytest.mark.process]
FIRST_JOB = re.compile(r"/jobs/(\d+)/place/")


def test_the_day_of_the_manager(cast: Cast) -> None:
    desk = cast.desk("keel")
    desk.goto("/week/")
    expect(desk.get_by_role("table", name="Bays by day")).to_be_visible()
    expect(desk.locator("#runs-out")).to_be_visible()

    put_somebody_onto_a_car(cast)
    tomorrow = (dt.date.today() + dt.timedelta(days=1)).isoformat()  # noqa: DTZ011
    desk.goto("/shop/bays/1/")
    desk.get_by_label("First day closed").fill(tomorrow)
    desk.get_by_label("Last day closed").fill(tomorrow)
    desk.get_by_label("Reason").fill("new floor")
    desk.get_by_role("button", name="Close it then").click()
    expect(desk.locator("#closures")).to_contain_text("new floor")

    set_a_pin_and_begin_a_turn(cast)
    change_the_settings(cast)


def put_somebody_onto_a_car(cast: Cast) -> None:
    desk = cast.desk("keel")
    desk.goto("/jobs/1002/place/")
    desk.get_by_label("Who").select_option("tackwell")
    desk.get_by_role("button", name="Put onto it").click()
    expect(desk.locator("#people")).to_contain_text(f"Take {cast.name('tackwell')} off")
    desk.locator("#move").get_by_label("To").select_option("")
    refused = answered(desk, desk.locator("#move").get_by_role("button", name="Move it"))
    assert refused.status == 422
    expect(desk.locator("#move")).to_contain_text("A car on stands cannot be moved")
    desk.goto("/floor/")
    expect(desk.locator("#floor")).to_contain_text(cast.name("tackwell"))


def set_a_pin_and_begin_a_turn(cast: Cast) -> None:
    """The PIN is typed in a browser of its owner, the code at the device; the turn begins with both."""
    desk, phone = cast.desk("keel"), cast.browser()
    desk.goto("/shop/people/")
    desk.get_by_role("link", name=cast.name("tackwell")).click()
    desk.get_by_role("button", name="Start: set a PIN").click()
    phone.goto(desk.locator(".private-address").inner_text())
    phone.get_by_label("New PIN").fill("830561")
    phone.get_by_label("The same again").fill("830561")
    phone.get_by_role("button", name="Set it").click()
    expect(phone.locator("main")).to_contain_text("Your PIN is set")
    bay = cast.tablet(2)
    bay.get_by_label(cast.name("tackwell"), exact=True).check()
    bay.get_by_label("PIN").fill("830561")
    bay.get_by_role("button", name="Begin turn").click()
    expect(bay.locator("main")).to_contain_text(f"Put onto it: {cast.name('tackwell')}")
    desk.goto("/shop/tablets/")
    desk.get_by_role("link", name="Take back").first.click()
    desk.get_by_role("button", name="Take it back").click()
    expect(desk.locator("#messages")).to_contain_text("is a tablet no more")
    bay.reload()
    expect(bay.locator("main")).to_contain_text("not a tablet of a bay")


def change_the_settings(cast: Cast) -> None:
    desk = cast.desk("keel")
    desk.goto("/shop/settings/")
    desk.get_by_label("Saturday").fill("from eight")
    desk.get_by_role("button", name="Save").click()
    expect(desk.locator("main")).to_contain_text("is not written as 07:30 - 12:00")
    expect(desk.get_by_label("Saturday")).to_have_value("from eight")
    desk.get_by_label("Saturday").fill("08:00 - 11:00")
    desk.get_by_role("button", name="Save").click()
    expect(desk.locator("#messages")).to_contain_text("The settings are saved")
