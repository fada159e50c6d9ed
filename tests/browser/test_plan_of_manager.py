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
    has_a_plan_from_the_first_page_on(desk, cast.name("keel"))
    search(desk)
    before = date_of(desk, "1004")
    expect_part(cast.desk("tally"), "K-0003", "NS210-004", in_days=60)
    search(desk)
    assert date_of(desk, "1004") != before
    desk.goto("/plan/")
    car = desk.locator("#car-1004")
    expect(car).to_contain_text("Parts for D20 (Sleeve")
    expect(car).to_contain_text("days late")

    car.get_by_role("link", name="Pin").click()
    desk.get_by_label("next up").check()
    desk.get_by_role("button", name="Pin it").click()
    expect(desk.locator("#pins")).to_contain_text("Job 1004 is next up for a bay")
    search_until_offered(desk)
    desk.get_by_role("button", name="Accept it").click()
    expect(desk.locator("#plan-state")).to_contain_text(f"accepted by {cast.name('keel')}")

    bench = cast.desk("ferrule")
    bench.goto("/plan/days/")
    expect(bench.locator("main")).to_contain_text(cast.name("ferrule"))


def has_a_plan_from_the_first_page_on(desk: Page, manager: str) -> None:
    """The demo's plan is in force, its bars speak, and cars of before say how dates were kept."""
    desk.goto("/plan/")
    expect(desk.locator("#plan-state")).to_contain_text(f"accepted by {manager}")
    expect(desk.locator("#kept")).to_contain_text("of 3; about four of five would be right")
    expect(desk.locator("#faults")).not_to_contain_text("which bay")
    bars, said = desk.locator(".timeline-touches a"), desk.locator("[data-timeline-said]")
    bars.first.focus()
    first = bars.first.locator("title").text_content() or ""
    expect(said).to_have_text(first)
    desk.keyboard.press("ArrowDown")
    expect(said).not_to_have_text(first)


def search_until_offered(desk: Page) -> None:
    """A search on a busy machine may come to nothing better than the order in force; the next one does."""
    for _ in range(4):
        search(desk)
        desk.goto("/plan/proposal/")
        if desk.get_by_role("button", name="Accept it").count():
            return
    raise AssertionError("nothing better was found")


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
    words = desk.locator(f"#car-{job}").inner_text()
    found = re.search(r"(?:planned for|ready by) (\w+ \d+ \w+),", words)
    assert found, words
    return found[1]
