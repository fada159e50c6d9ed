"""A paper on its way, as the service writer sees it: words and a bar, then a link, on the same page."""

import io
import time

import pdfplumber
import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.cast import PATIENCE_MS, Cast, answered, sign_in

pytestmark = [pytest.mark.browser, pytest.mark.process]
NEEDS_WORKER = True

JOB = "/jobs/1003/"
# The long one once, to see it on its way; else a short one, which is made in the same way.
TRAVELER, SHEET = "traveler", "torque sheet"
PAPERS = f"{JOB}papers/"


@pytest.fixture
def writer(cast: Cast) -> str:
    return next(name for name, person in cast.people.items() if person["role"] == "service_writer")


def part(page: Page, kind: str) -> Locator:
    return page.locator(f"#papers-{kind.replace(' ', '_')}")


def ask(page: Page, size: str, kind: str = SHEET) -> None:
    papers = part(page, kind)
    papers.get_by_label(size).check()
    papers.get_by_role("button", name=f"Ask for the {kind}").click()


def issues(page: Page, kind: str = SHEET) -> int:
    return part(page, kind).locator(".paper").count()


def newest(page: Page, *, issue: int, kind: str = SHEET) -> str:
    """The address of that paper's file, when it is the newest and ready."""
    line = part(page, kind).locator(".paper").first
    expect(line).to_contain_text(f"issue {issue}")
    link = line.get_by_role("link", name="Open the paper")
    expect(link).to_be_visible(timeout=PATIENCE_MS)
    return str(link.get_attribute("href"))


def test_it_says_how_far_it_is_and_turns_into_a_link_without_reloading(cast: Cast, writer: str) -> None:
    page = cast.desk(writer)
    page.goto(JOB)
    issue = issues(page, TRAVELER) + 1
    page.evaluate("window.notReloaded = true")
    ask(page, "Letter", TRAVELER)
    first = part(page, TRAVELER).locator(".paper").first
    expect(first).to_contain_text("Traveler, Letter issue")
    expect(first).to_contain_text("Setting page", timeout=PATIENCE_MS)
    expect(first.locator(".paper-far .done")).to_be_attached()
    address = newest(page, issue=issue, kind=TRAVELER)
    expect(page.get_by_role("status").filter(has_text="Traveler, Letter, issue")).to_contain_text("is ready.")
    assert page.evaluate("window.notReloaded") is True
    expect(part(page, TRAVELER).locator("[hx-trigger]")).to_have_count(0)
    answer = page.request.get(address)
    assert answer.headers["content-type"] == "application/pdf"
    with pdfplumber.open(io.BytesIO(answer.body())) as pdf:
        assert "1003" in pdf.pages[0].extract_text()
        assert float(pdf.pages[0].width) == 612


def test_asking_twice_in_one_breath_makes_one_paper(cast: Cast, writer: str) -> None:
    page = cast.desk(writer)
    page.goto(PAPERS)
    before = issues(page)
    part(page, SHEET).get_by_role("button", name=f"Ask for the {SHEET}").dblclick()
    newest(page, issue=before + 1)
    page.reload()
    assert issues(page) == before + 1


def test_a_paper_of_yesterdays_record_says_so(cast: Cast, writer: str) -> None:
    page = cast.desk(writer)
    page.goto(PAPERS)
    issue = issues(page) + 1
    ask(page, "A4")
    newest(page, issue=issue)
    section = part(page, SHEET)
    expect(section).not_to_contain_text("has changed since")
    manager = next(name for name, person in cast.people.items() if person["role"] == "manager")
    boss = cast.desk(manager)
    boss.goto(JOB)
    move = boss.locator("#move")
    move.locator("summary").click()
    assert answered(boss, move.get_by_role("button")).status == 204
    page.goto(PAPERS)
    expect(section).to_contain_text("The record has changed since this paper was made.")


def test_without_script_a_link_looks_again(cast: Cast, writer: str) -> None:
    page = sign_in(cast.browser(script=False), cast.people[writer])
    page.goto(PAPERS)
    ask(page, "A4")
    expect(page.get_by_role("heading", level=1)).to_have_text("Torque sheet, A4")
    again = page.get_by_role("link", name="See how far it is")
    ready = page.get_by_role("link", name="Open the paper")
    deadline = time.monotonic() + PATIENCE_MS / 1000
    while not ready.count():
        assert time.monotonic() < deadline, page.locator("main").inner_text()
        if again.count():
            again.click()
    expect(ready).to_be_visible()
