"""One checkpoint at a time, the address saying which."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import SITE, Show

pytestmark = pytest.mark.browser

BODY = """
<main>
  <section data-checkpoint id="C20.1"><h1>First</h1></section>
  <section data-checkpoint id="C20.2" data-open><h1>Second</h1></section>
  <section data-checkpoint id="C20.3" data-open><h1>Third</h1></section>
</main>
<a data-step="back" href="/list">Back</a> <b data-checkpoint-at></b>
<a data-step="next" href="/finish">Next</a>
"""


def seen(page: Page) -> list[str]:
    return [heading.inner_text() for heading in page.locator("h1:visible").all()]


def test_first_open_checkpoint_stands_alone(show: Show) -> None:
    page = show(BODY)
    assert seen(page) == ["Second"]
    expect(page.locator("[data-checkpoint-at]")).to_have_text("2 / 3")


def test_next_and_back_step_and_the_browser_goes_back(show: Show) -> None:
    page = show(BODY)
    page.get_by_role("link", name="Next").click()
    expect(page.get_by_role("heading", name="Third")).to_be_focused()
    assert page.url == f"{SITE}/#C20.3"
    page.go_back()
    expect(page.get_by_role("heading", name="Second")).to_be_visible()
    page.get_by_role("link", name="Back").click()
    expect(page.get_by_role("heading", name="First")).to_be_visible()
    assert seen(page) == ["First"]


def test_at_the_ends_the_links_lead_on(show: Show) -> None:
    page = show(BODY)
    page.get_by_role("link", name="Next").click()
    expect(page.get_by_role("link", name="Next")).to_have_attribute("href", "/finish")
    page.goto(f"{SITE}/#C20.1")
    expect(page.get_by_role("link", name="Back")).to_have_attribute("href", "/list")


def test_a_link_to_one_checkpoint_shows_it(show: Show) -> None:
    page = show(BODY)
    page.goto(f"{SITE}/#C20.1")
    page.reload()
    assert seen(page) == ["First"]


LIFTING = """
<main>
  <section data-checkpoint id="C20.1"><h1>First</h1>
    <form data-entry method="post" action="/entry" hx-post="/entry" hx-swap="outerHTML">
      <button data-strip>Record</button></form></section>
  <section data-checkpoint id="C20.2"><h1>Second</h1></section>
</main>
<div class="way-do"></div><div class="way-next"><a data-step="next" href="/finish">Next</a></div>
"""


def test_what_is_to_be_done_stands_beside_next_until_it_is_done(show: Show) -> None:
    page = show(LIFTING)
    page.route(f"{SITE}/entry", lambda route: route.fulfill(body="<b>Recorded</b>", content_type="text/html"))
    expect(page.get_by_role("link", name="Next")).to_be_visible()
    page.locator(".way-do").get_by_role("button", name="Record").click()
    expect(page.locator("main b")).to_have_text("Recorded")
    expect(page.get_by_role("button", name="Record")).to_have_count(0)
    page.get_by_role("link", name="Next").click()
    expect(page.get_by_role("heading", name="Second")).to_be_visible()


FOLDED = """
<main>
  <section data-checkpoint id="C20.1"><h1>First</h1>
    <details><summary>Read it again</summary>
      <form method="post"><input name="value" required>
        <button data-strip>Record</button></form></details></section>
</main>
<div class="way-do"></div><div class="way-next"><a data-step="next" href="/finish">Next</a></div>
"""


def test_what_is_folded_away_is_not_offered_until_it_is_opened(show: Show) -> None:
    page = show(FOLDED)
    offered = page.locator(".way-do").get_by_role("button", name="Record")
    expect(offered).to_have_count(0)
    page.get_by_text("Read it again").click()
    expect(offered).to_be_visible()
    page.get_by_text("Read it again").click()
    expect(offered).to_have_count(0)
