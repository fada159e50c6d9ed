"""The plan in a browser: a shortage arrives, a date moves, the manager sees why, pins, accepts."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.at_desk import expect_part
from tests.browser.cast import Cast

pytestmark = [pytest.mark.browser, pytest.mark.process]
NEEDS_WORKER = True


def test_a_shortage_moves_a_date_and_the_manager_pins_and_accepts(cast: Cast) -> None:
    desk = cast.desk("keel")
    search(desk)
    before = date_of(desk, "1004")
    expect_part(cast.desk("tally"), "K-0003", "NS210-004", in_days=60)
    search(desk)
    assert date_of(desk, "1004") != before
    desk.goto("/plan/")
    car = desk.locator("#cars tr", has_text="1004")
    expect(car).to_contain_text("Parts for D20 (Sleeve")
    expect(car).to_contain_text("days late")

    car.get_by_role("link", name="Pin").click()
    desk.get_by_label("next up").check()
    desk.get_by_role("button", name="Pin it").click()
    expect(desk.locator("#pins")).to_contain_text("Job 1004 is next up for a bay")
    search(desk)
    desk.goto("/plan/proposal/")
    desk.get_by_role("button", name="Accept it").click()
    expect(desk.locator("#plan-state")).to_contain_text(f"accepted by {cast.name('keel')}")

    bench = cast.desk("ferrule")
    bench.goto("/plan/days/")
    expect(bench.locator("main")).to_contain_text(cast.name("ferrule"))


def search(desk: Page) -> None:
    """Ask for a search, and wait on the page until it has ended."""
    desk.goto("/plan/")
    desk.get_by_role("button", name="Search now").click()
    searching = re.compile("is (going to be|being) searched for")  # a short search ends between two looks
    expect(desk.locator("#plan-state")).to_contain_text(searching)
    expect(desk.locator("#plan-state")).not_to_contain_text(searching, timeout=90_000)
    expect(desk.locator("#plan-state")).not_to_contain_text("failed")


def date_of(desk: Page, job: str) -> str:
    """The day for which a car is planned."""
    desk.goto("/plan/")
    words = desk.locator("#cars tr", has_text=job).inner_text()
    found = re.search(r"(?:planned for|ready by) (\w+ \d+ \w+),", words)
    assert found, words
    return found[1]
