"""The parts clerk's day: a kit comes short and crushed; counted, chased, bought, sent back, listed anew."""

import re
from datetime import date, timedelta
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.at_desk import bring_in_kit, bring_in_slip, open_order
from tests.browser.cast import DESK, LYING, Cast, follow
from tests.parts.kit_texts import KIT
from tests.parts.test_damage import photo

pytestmark = pytest.mark.browser

TODAY = date.today()  # noqa: DTZ011 - the browser's day
SLIP = "".join(
    (
        "order,slip,carrier,dated,part_number,description,slipped,backordered,eta\n",
        f"K-77,PS-77,Invented Freight,{TODAY},T1-100,Cradle,1,0,\n",
        f"K-77,PS-77,Invented Freight,{TODAY},T1-110,Sleeve,2,2,{TODAY + timedelta(days=9)}\n",
        f"K-77,PS-77,Invented Freight,{TODAY},T1-201,Bolt,8,0,\n",
    )
)


@pytest.fixture
def counter(cast: Cast) -> Page:
    """The clerk's desk with a kit on its way; its slip is here."""
    page = cast.desk("tally")
    bring_in_kit(page, KIT.decode(), pin=cast.pin("tally"))
    open_order(page, "K-77", "KIT-T1 A – Test clip kit")
    bring_in_slip(page, SLIP)
    return page


def test_a_kit_from_its_carton_to_its_last_part(counter: Page, cast: Cast) -> None:
    found_as_one_types(counter)
    counted_short_and_crushed(counter)
    photographed(counter)
    carrier_told(counter)
    counted_again(counter)
    chased_in_place(counter)
    bought_locally(counter)
    sent_back(counter)
    the_same_slip_again(counter)
    the_list_is_written_anew(counter, pin=cast.pin("tally"))
    the_manager_decides_about_the_order(counter, cast)


def found_as_one_types(page: Page) -> None:
    page.goto("/parts/")
    page.keyboard.press("/")
    expect(page.get_by_role("searchbox")).to_be_focused()
    page.keyboard.type("ps-77")
    expect(page.locator("#orders tbody tr")).to_have_count(1)
    expect(page.locator("#orders")).to_contain_text("slip is here, not counted")
    page.get_by_role("link", name="K-77").click()


def counted_short_and_crushed(page: Page) -> None:
    page.get_by_role("link", name="Count against it").click()
    page.get_by_label("Good, T1-100").fill("1")
    page.get_by_label("Good, T1-110").fill("1")
    page.get_by_label("Damaged, T1-110").fill("1")
    page.get_by_label("Good, T1-201").fill("8")
    page.get_by_role("button", name="Record the counts").first.click()
    expect(page.get_by_role("heading", level=1)).to_have_text("1 part is short")
    expect(page.locator("main")).to_contain_text("Invented Freight has to hear of it by")
    expect(page.locator("main")).to_contain_text("5 days left")


def photographed(page: Page) -> None:
    page.get_by_role("link", name="Add photos of the damage").click()
    field = page.get_by_label("Photos")
    field.set_input_files({"name": "list.txt", "mimeType": "text/plain", "buffer": b"no photo"})
    page.get_by_role("button", name="Record the photos").click()
    expect(page.get_by_role("alert")).to_contain_text("no picture that can be read")
    files: list[Any] = [
        {"name": f"{colour}.jpg", "mimeType": "image/jpeg", "buffer": photo(colour).read()}
        for colour in ("red", "blue")
    ]
    page.get_by_label("Photos").set_input_files(files)
    page.get_by_role("button", name="Record the photos").click()
    expect(page.locator("#messages")).to_contain_text("2 photos are recorded.")
    shown = page.locator("main img")
    expect(shown).to_have_count(2)
    assert shown.first.evaluate("image => image.decode().then(() => image.naturalWidth)") > 0


def carrier_told(page: Page) -> None:
    """Whoever told them, when, and the number that they gave: the deadline presses nobody any more."""
    page.get_by_role("link", name="The carrier has been told").click()
    expect(page.get_by_label("Told by")).to_contain_text("Basil Tallyman")
    page.get_by_label("The carrier's number for it").fill("CL-88")
    page.get_by_role("button", name="Record it").click()
    expect(page.locator("main")).to_contain_text(re.compile(r"Invented Freight was told on .*, in time"))
    expect(page.locator("#told + ol")).to_contain_text("number CL-88")
    # The page that answers brings its own styles, though the one before had none of them.
    expect(page.locator(".damage-photos")).to_have_css("list-style-type", "none")


def counted_again(page: Page) -> None:
    page.goto("/parts/orders/K-77/")
    page.get_by_role("link", name="3 parts counted").click()
    page.get_by_role("link", name="Count again T1-201").click()
    page.get_by_label("Good").fill("6")
    page.get_by_label("Why the count changes").fill("two were of another kit")
    page.get_by_role("button", name="Record the new count").click()
    expect(page.locator("#messages")).to_contain_text("now 2 short, first needed at A20")
    expect(page.locator("main")).to_contain_text("first counted: 8 good")


def chased_in_place(page: Page) -> None:
    page.goto("/parts/")
    follow(page, page.get_by_role("link", name="Missing parts"))
    page.get_by_label("Find by part").fill("t1-200 k-77")
    row = page.locator("#missing tbody tr")
    expect(row).to_have_count(1)
    row.locator("summary").click()
    row.get_by_label("Expected on").fill((TODAY + timedelta(days=4)).isoformat())
    row.get_by_label("Told by").fill("Claim 17")
    row.get_by_role("button", name="Record the date").click()
    expect(page).to_have_url(re.compile(r"/parts/missing/"))
    expect(page.get_by_role("row").filter(has_text="T1-200")).to_contain_text("Claim 17")


def bought_locally(page: Page) -> None:
    page.goto("/parts/orders/K-77/")
    page.locator("#short").locator("..").get_by_role("link", name="Bought locally T1-200").click()
    page.get_by_label("Pieces").fill("2")
    page.get_by_label("Bought from").fill("Invented Fasteners")
    page.get_by_label("Part number there").fill("HX-8")
    page.get_by_role("button", name="Record the purchase").click()
    expect(page.locator("main")).to_contain_text("Say the grade that was bought")
    page.get_by_label("Grade").fill("8")
    page.get_by_role("button", name="Record the purchase").click()
    expect(page.locator("#messages")).to_contain_text("2 of T1-200 count as here.")
    expect(page.locator("main")).to_contain_text("1 part short, 1 critical")


def sent_back(page: Page) -> None:
    page.set_viewport_size(LYING)
    page.get_by_role("link", name="Send parts back").click()
    page.get_by_role("link", name="Send these T1-110").click()
    expect(page.get_by_label("damaged")).to_be_checked()
    page.get_by_label("Return number").fill("RMA-7")
    page.get_by_role("button", name="Record the return").click()
    expect(page.locator("main")).to_contain_text("return number RMA-7")
    expect(page.locator("main")).not_to_contain_text("has to hear of it")


def the_same_slip_again(page: Page) -> None:
    page.goto("/parts/slips/new/")
    page.get_by_label("Or paste the list").fill(SLIP)
    page.get_by_role("button", name="Bring it in").click()
    expect(page.get_by_role("alert")).to_contain_text("is here already, with the same lines")
    page.goto("/parts/orders/K-77/receive/?slip=PS-77")
    expect(page.locator("main")).to_contain_text("PS-77 was counted already")
    page.get_by_label("Good, T1-100").fill("1")
    page.get_by_role("button", name="Record the counts").first.click()
    expect(page.get_by_role("alert")).to_contain_text("Counted against PS-77 already: 1 on")


def the_list_is_written_anew(page: Page, *, pin: str) -> None:
    """Field by field; a wrong PIN says so beside it, and nothing is released by it."""
    page.set_viewport_size(DESK)
    page.goto("/parts/kits/KIT-T1/A/")
    page.get_by_role("link", name="New revision from it").click()
    page.get_by_label("Name of the revision").fill("B")
    page.get_by_role("button", name="Begin").click()
    page.get_by_role("link", name="T1-110").click()
    page.get_by_label("quantity").fill("a few")
    page.get_by_role("button", name="Keep").click()
    expect(page.locator(".field-error")).to_have_count(1)
    expect(page.get_by_label("quantity")).to_have_value("a few")
    page.get_by_label("quantity").fill("6")
    page.get_by_label("cost, each").fill("3.40")
    page.get_by_role("button", name="Keep").click()
    expect(page.locator(".field-error")).to_have_count(0)
    follow(page, page.get_by_role("link", name="To the draft"))
    page.get_by_role("button", name="Keep it and go on to its release").click()
    expect(page.get_by_role("row").filter(has_text="K-77")).to_contain_text("T1-110 changed")
    page.get_by_label("PIN").fill("1470")
    page.get_by_role("button", name="Release it").click()
    expect(page.locator(".field-error")).to_contain_text("This is not the PIN")
    page.get_by_label("PIN").fill(pin)
    page.get_by_role("button", name="Release it").click()
    expect(page.locator("#messages")).to_contain_text("KIT-T1 B is released.")
    expect(page.get_by_role("row").filter(has_text="T1-110")).to_contain_text("3.40")


def the_manager_decides_about_the_order(page: Page, cast: Cast) -> None:
    page.goto("/parts/orders/K-77/revision/")
    expect(page.locator("main")).to_contain_text("A lead or the manager decides.")
    manager = cast.desk("keel")
    manager.goto("/parts/orders/K-77/revision/")
    manager.get_by_label("change over: what is here counts").check()
    manager.get_by_label("Reason").fill("The maker's letter")
    manager.get_by_label("Your PIN").fill(cast.pin("keel"))
    manager.get_by_role("button", name="Decide in my name").click()
    expect(manager.locator("main")).to_contain_text("A → B: change over")
    page.goto("/parts/orders/K-77/")
    expect(page.locator("main")).to_contain_text("KIT-T1 B")
    expect(page.locator("section:has(> #short)")).to_contain_text("T1-110")
