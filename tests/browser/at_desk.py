"""What people do at their desks: bring files in, order and count a kit, open a job, decide and sign."""

import io
import re
from collections.abc import Mapping
from datetime import date, timedelta

import pdfplumber
from playwright.sync_api import Locator, Page, Response, expect

from tests.browser.cast import Cast, answered


def bring_in_kit(page: Page, text: str, *, pin: str) -> None:
    """Brought in, then released with the person's own PIN."""
    page.goto("/parts/kits/new/")
    page.get_by_label("Or paste the list").fill(text)
    page.get_by_role("button", name="Bring it in").click()
    page.get_by_role("link", name="Release").first.click()
    page.get_by_label("PIN").fill(pin)
    page.get_by_role("button", name="Release it").click()
    expect(page.locator("#messages")).to_contain_text("is released")


def bring_in_procedure(page: Page, text: str, *, other: Page, pin: str) -> None:
    """Checked, looked at and saved; released by somebody else, for joints and welds are in it."""
    page.goto("/procedures/bring-in/")
    page.get_by_label("Or its text").fill(text)
    page.get_by_role("button", name="Check it").click()
    page.get_by_role("button", name="Save and release").click()
    expect(page.locator("main")).to_contain_text("Somebody else who may release it")
    other.goto(page.url)
    other.get_by_label("PIN").fill(pin)
    other.get_by_role("button", name="Release it").click()
    expect(other.locator("#messages")).to_contain_text("is released")


def open_order(page: Page, number: str, kit: str) -> None:
    page.goto("/parts/orders/new/")
    page.get_by_label("Kit order").fill(number)
    page.get_by_label("Kit and revision").select_option(label=kit)
    page.get_by_role("button", name="Open the order").click()
    expect(page.locator("#messages")).to_contain_text(f"Kit order {number} is open")


def bring_in_slip(page: Page, text: str) -> None:
    page.goto("/parts/slips/new/")
    page.get_by_label("Or paste the list").fill(text)
    page.get_by_role("button", name="Bring it in").click()
    expect(page.locator("#messages")).to_contain_text("was brought in")


def count_by_keyboard(page: Page, order: str, slip: str, counts: Mapping[str, int]) -> str:
    """Count what is on a slip without touching the mouse; the heading of what came of it."""
    page.goto(f"/parts/orders/{order}/receive/?slip={slip}")
    fields = page.locator('input[aria-label^="Good, "]:visible')
    fields.first.focus()
    for at in range(len(counts)):
        expect(fields.nth(at)).to_be_focused()
        part = str(fields.nth(at).get_attribute("aria-label")).removeprefix("Good, ")
        page.keyboard.type(str(counts[part]))
        page.keyboard.press("Enter")
    for _ in range(page.locator('input[aria-label^="Good, not in the list"]:visible').count()):
        page.keyboard.press("Enter")
    expect(page.get_by_role("button", name="Record the counts").last).to_be_focused()
    with page.expect_navigation():
        page.keyboard.press("Enter")
    return page.get_by_role("heading", level=1).inner_text()


def expect_part(page: Page, order: str, part: str, *, in_days: int) -> None:
    """The clerk notes when a missing part is to come."""
    page.goto(f"/parts/orders/{order}/")
    page.get_by_role("link", name=f"{part}").first.click()
    page.get_by_label("Expected on").fill((date.today() + timedelta(days=in_days)).isoformat())  # noqa: DTZ011
    page.get_by_role("button", name="Record the date").click()
    expect(page.locator("main")).to_contain_text(f"{part} expected")


def move_out_of_the_bays(page: Page, number: int) -> None:
    page.goto(f"/jobs/{number}/")
    section = page.locator("#move")
    section.locator("summary").click()
    section.get_by_label("To").select_option("")
    assert answered(page, section.get_by_role("button")).status == 204
    expect(page.locator("#job .where-is-it")).not_to_contain_text("in bay")


def open_job(page: Page, filled: Mapping[str, str], chosen: Mapping[str, str]) -> int:
    page.goto("/jobs/")
    page.get_by_role("link", name="Open a job").first.click()
    for label, text in filled.items():
        page.get_by_label(label, exact=True).fill(text)
    for label, text in chosen.items():
        page.get_by_label(label, exact=True).select_option(label=text)
    page.get_by_role("group", name="May the car be cut?").get_by_label("Yes").check()
    page.get_by_role("button", name="Open the job").click()
    expect(page.locator("#messages")).to_contain_text("is open")
    return int(page.url.rstrip("/").rsplit("/", 1)[1])


def set_aside(cast: Cast, username: str, reason: Locator, *, why: str) -> Response:
    """A reason of a gate set aside by name: opened, explained, signed."""
    page = cast.desk(username)
    reason.get_by_text("Set it aside by name").click()
    reason.get_by_label("Reason").fill(why)
    reason.get_by_label("Your PIN").fill(cast.pin(username))
    return answered(page, reason.get_by_role("button", name="Set it aside in my name"))


def decide(cast: Cast, username: str, number: int, *, what: str, why: str) -> Response:
    """A lead's decision about the nonconformance that is open on a job."""
    page = cast.desk(username)
    page.goto(f"/jobs/{number}/")
    problem = page.locator(".problem-open")
    problem.get_by_label(what).check()
    problem.get_by_label("Reason").fill(why)
    problem.get_by_label("Your PIN").fill(cast.pin(username))
    return answered(page, problem.get_by_role("button", name="Decide"))


def release(cast: Cast, username: str) -> Response:
    """On the release page, which was opened before."""
    page = cast.desk(username)
    section = page.locator("#release")
    section.get_by_label("Your PIN").fill(cast.pin(username))
    return answered(page, section.get_by_role("button", name="Release the car"))


def change_fire_watch(page: Page, minutes: int) -> None:
    """The manager changes the shop's rule in the administration pages."""
    page.goto("/admin/shop/shopsettings/")
    page.locator("#result_list tbody a").first.click()
    page.get_by_label("Fire watch, minutes").fill(str(minutes))
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator(".messagelist")).to_contain_text("changed successfully")


def traveler(page: Page) -> bytes:
    """Asked for on the job's page; its progress turns into a link by itself."""
    papers = page.locator("#papers")
    mark = page.locator("#papers").element_handle()
    assert mark
    papers.get_by_role("button", name="Ask for the traveler").click()
    link = papers.get_by_role("link", name="Open the paper").first
    link.wait_for(timeout=120_000)
    assert mark.is_visible(), "the page was loaded again"
    address = link.get_attribute("href")
    assert address
    answer = page.context.request.get(address)
    assert answer.headers["content-type"] == "application/pdf"
    return answer.body()


def invoice_paper(page: Page, number: str) -> str:
    """The words of an invoice's paper, asked for on the page of the money."""
    page.get_by_role("link", name=f"Paper {number}").click()
    page.get_by_role("button", name="Ask for").first.click()
    link = page.get_by_role("link", name="Open the paper").first
    link.wait_for(timeout=120_000)
    address = link.get_attribute("href")
    assert address
    with pdfplumber.open(io.BytesIO(page.context.request.get(address).body())) as paper:
        return " ".join(" ".join((sheet.extract_text() or "").split()) for sheet in paper.pages)


def choose(page: Page, label: str, begins: str) -> None:
    """The option of a field that begins like this."""
    field = page.get_by_label(label, exact=True)
    options = field.locator("option").filter(has_text=re.compile(re.escape(begins)))
    field.select_option(value=options.first.get_attribute("value"))
