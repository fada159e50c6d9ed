"""The fabricator's day: a turn by our own keys, cautions read, time that runs, a lot, a stop, a hand-over."""

import re

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.bay_tablet import BayTablet, a_photo
from tests.browser.cast import LYING, Cast, follow

pytestmark = pytest.mark.browser


@pytest.fixture
def bay(cast: Cast) -> BayTablet:
    return BayTablet(cast, cast.tablet(1, size=LYING))


def test_a_day_at_the_tablet(bay: BayTablet) -> None:
    begins_with_our_own_keys(bay)
    reads_the_cautions_and_starts(bay.page)
    records_the_lot_that_is_open(bay.page)
    picks_a_wrench_by_its_number(bay)
    pauses_and_goes_on(bay.page)
    stops_in_two_touches(bay.page)
    proposes_extra_work(bay.page)
    hands_over(bay)


def begins_with_our_own_keys(bay: BayTablet) -> None:
    page = bay.page
    page.get_by_label(bay.cast.name("scribner"), exact=True).check()
    for digit in bay.cast.pin("scribner"):
        page.locator(f'[data-pin-keys] [data-digit="{digit}"]').click()
    page.get_by_role("button", name="Begin turn").click()
    expect(page.locator("main h1")).to_contain_text("A30")
    expect(page.locator(".proposed-why")).to_have_text("Next on the route")
    page.get_by_role("link", name="Go to A30").click()


def reads_the_cautions_and_starts(page: Page) -> None:
    expect(page.locator(".cautions-first")).to_contain_text("Rack bolts are stretched once")
    expect(page.locator("[data-checkpoint]")).to_have_count(0)
    page.get_by_role("button", name="I have read this").click()
    lifted(page, "Start A30").click()
    expect(page.locator('[id="A30"]')).to_contain_text("Dov Scribner since")


def lifted(page: Page, name: str) -> Locator:
    """What is to be done here, in the strip: the button in the section itself makes way for it."""
    return page.locator(".way-do").get_by_role("button", name=name)


def records_the_lot_that_is_open(page: Page) -> None:
    page.goto(f"{page.url.split('#')[0]}#A30")
    lots = page.locator(".lots > li").filter(has_text="threadlocker")
    lots.get_by_label("Lot").fill("TL-88")
    lots.get_by_role("button", name="Record the lot").click()
    expect(page.get_by_role("button", name="Again lot TL-88")).to_be_visible()


def picks_a_wrench_by_its_number(bay: BayTablet) -> None:
    """One out of calibration is refused before anything is keyed; one that may be used is picked."""
    section = bay.go_to("A30.4")
    expect(section.locator(".side-large")).to_contain_text("left", ignore_case=True)
    bay.see_all(section)  # with Pause in the head and two lines of title
    number = section.get_by_label("Or scan or type its number")
    number.fill("tw-3")
    number.press("Enter")
    expect(section.locator("[data-picked]")).to_contain_text("out of calibration")
    expect(section.locator("[data-picked]")).to_contain_text("TW-1")
    expect(section.locator("input[name=p_instrument]:checked")).to_have_count(0)
    number.fill("TW-1")
    number.press("Enter")
    expect(section.locator("input[name=p_instrument]:checked")).to_have_value("TW-1")
    said = {"value": "32", "slot": "30", "clicked": "yes", "lubricant": "yes", "new_hardware": "yes"}
    assert bay.read("A30.4", said).status < 400
    expect(bay.verdict("A30.4")).to_have_text("Conforms")


def pauses_and_goes_on(page: Page) -> None:
    page.get_by_role("link", name="Pause").click()
    page.get_by_role("button", name="Waiting for parts").click()
    expect(page.locator(".proposed-why")).to_have_text("You were at it last")
    follow(page, page.get_by_role("link", name="Go to A30"))
    page.goto(f"{page.url.split('#')[0].split('?')[0]}#A30")
    lifted(page, "Go on with A30").click()
    expect(page.get_by_role("link", name="Pause")).to_be_visible()


def stops_in_two_touches(page: Page) -> None:
    page.goto("/tablet/")
    page.get_by_role("link", name="Stop: problem").click()
    page.get_by_role("button", name="Part does not fit").click()
    expect(page.locator("#task")).to_contain_text("Part does not fit")


def proposes_extra_work(page: Page) -> None:
    """With a photo; what was forgotten is told and the photo stays."""
    page.get_by_role("link", name="Stop: problem").click()
    page.get_by_role("link", name="extra work found").click()
    page.get_by_label("Photo").set_input_files(a_photo())
    page.get_by_text("30 min").click()
    page.get_by_role("button", name="Propose it").click()
    expect(page.locator(".field-error")).to_have_text("Touch what was found, or say it in your words")
    page.get_by_text("Stud or bolt broken off").click()
    page.get_by_role("button", name="Propose it").click()
    expect(page.locator("#task")).to_contain_text("waits for the desk")


def hands_over(bay: BayTablet) -> None:
    """The next one reads it first thing; until they go on it stays on top."""
    page = bay.page
    page.get_by_role("link", name="Pause").click()
    page.get_by_label("What must they know?").fill("Rack waits for its left sleeve")
    page.get_by_role("button", name="Hand over").click()
    expect(page.locator(".proposed-why")).to_be_visible()
    bay.begin_turn("tackwell")
    page.get_by_role("link", name=re.compile("^Go to A30")).click()
    expect(page.locator(".handed-over")).to_contain_text("Rack waits for its left sleeve")
    page.get_by_role("button", name="I have read this").click()
    bay.section("A30").wait_for(state="attached")
    bay.settled()
    page.goto(f"{page.url.split('#')[0].split('?')[0]}#A30")
    lifted(page, "Go on with A30").click()
    expect(page.locator(".handed-over")).to_have_count(0)
    ended = bay.cast.site.rows("SELECT DISTINCT ended_by FROM jobs_bookedtime WHERE ended_by <> 'finished'")
    assert ("handed_over",) in ended
