"""A burned inch is named at the tablet before anything is cut, and the cut waits until it is marked again."""

import pytest
from playwright.sync_api import expect

from tests.browser import at_desk
from tests.browser.bay_tablet import BayTablet
from tests.browser.cast import Cast

pytestmark = [pytest.mark.browser, pytest.mark.process]

CAR, BAY = 1003, 3  # of the demo: its marks are made and half of them read by a second person
STANDS = {"r1": "31 1/4", "r2": "31 1/4", "r3": "78", "r4": "13 9/32", "instrument": "TP-1"}
BURNED = {"r1": "30 1/4", "r2": "30 1/4", "r3": "77", "r4": "12 9/32", "instrument": "TP-1"}


def test_a_burned_inch_is_named_before_the_cut(cast: Cast) -> None:
    tablet = BayTablet(cast, cast.tablet(BAY))
    tablet.begin_turn("scribner")
    tablet.open("C10")
    section = tablet.go_to("C10.4")
    section.get_by_text("Read it again").click()
    section.locator('textarea[name="p_reason"], input[name="p_reason"]').first.fill("Scribed anew")
    assert tablet.read("C10.4", BURNED).status < 400
    expect(tablet.verdict("C10.4")).to_have_text("Does not conform")
    expect(section).to_contain_text("1 in too far back")
    expect(section).to_contain_text("burned an inch? Mark it again.")
    expect(section.locator(".layout-wrong")).to_have_count(1)
    tablet.open("C30")
    expect(tablet.section("C30")).to_contain_text("C10.4")
    expect(tablet.section("C30").get_by_role("button", name="Start C30")).to_have_count(0)
    assert at_desk.decide(cast, "gauge", CAR, what="Rework", why="Mark it again").status == 204
    tablet.open("C10")
    assert tablet.read("C10.4", STANDS).status < 400
    expect(section).to_contain_text("hidden until the second person")
