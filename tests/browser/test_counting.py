"""A kit counted at the counter by keyboard alone, in a real browser."""

from collections.abc import Iterator
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from playwright.sync_api import Browser, Page, expect

from parts.kit_files import bring_in_kit
from parts.models import KitOrder, ReceiptLine
from parts.slip_files import bring_in_slip
from shop.models import Role
from tests.factories import NOON, KitOrderFactory, PersonFactory
from tests.parts.kit_texts import KIT, SLIP

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def order() -> KitOrder:
    clerk = PersonFactory(role=Role.PARTS_CLERK)
    revision = bring_in_kit(KIT, by=clerk, now=NOON, release=True)
    order = KitOrderFactory(number="K-0001", kit_revision=revision)
    bring_in_slip(SLIP, by=clerk, now=NOON)
    return order


@pytest.fixture
def sheet(chromium: Browser, live_server: Any, order: KitOrder) -> Iterator[Page]:
    """The counting sheet of the slip, the clerk signed in."""
    client = Client()
    client.force_login(PersonFactory(role=Role.PARTS_CLERK))
    context = chromium.new_context(viewport={"width": 1280, "height": 800})
    cookie = client.cookies["sessionid"].value
    context.add_cookies([{"name": "sessionid", "value": cookie, "url": live_server.url}])
    page = context.new_page()
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.on("console", lambda said: errors.append(said.text) if "Content Security" in said.text else None)
    page.goto(f"{live_server.url}{reverse('parts:receive', args=[order.number])}?slip=PS-77")
    yield page
    context.close()
    assert errors == []


def test_enter_goes_from_count_to_count_and_records(sheet: Page) -> None:
    sheet.get_by_label("Good, T1-100").focus()
    for part, pieces in (("T1-100", "1"), ("T1-110", "2"), ("T1-201", "8"), ("X-9", "1")):
        expect(sheet.get_by_label(f"Good, {part}")).to_be_focused()
        sheet.keyboard.type(pieces)
        sheet.keyboard.press("Enter")
    for _ in range(3):
        sheet.keyboard.press("Enter")
    expect(sheet.get_by_role("button", name="Record the counts").last).to_be_focused()
    sheet.keyboard.press("Enter")
    expect(sheet.get_by_role("heading", level=1)).to_have_text("1 part is short")
    expect(sheet.locator("body")).to_contain_text("T1-110 Sleeve ½ in: 2 of 4 missing, first needed at D30")
    assert ReceiptLine.objects.count() == 4


def test_the_standing_appears_beside_the_row(sheet: Page) -> None:
    row = sheet.get_by_role("row").filter(has_text="T1-110")
    sheet.get_by_label("Good, T1-110").fill("1")
    sheet.keyboard.press("Tab")
    expect(row.get_by_role("status")).to_contain_text("3 of 4 short")
    sheet.get_by_label("Good, T1-110").fill("6")
    sheet.keyboard.press("Tab")
    expect(row.get_by_role("status")).to_contain_text("2 more than ordered")
    row.get_by_label("Yes, counted again").check()
    sheet.get_by_role("button", name="Record the counts").first.click()
    expect(sheet.get_by_role("heading", level=1)).to_have_text("2 parts are short")
    assert ReceiptLine.objects.get().counted == 6


def test_what_is_refused_is_listed_kept_and_put_right(sheet: Page) -> None:
    sheet.get_by_label("Good, T1-100").fill("one")
    sheet.get_by_role("button", name="Record the counts").first.click()
    expect(sheet.get_by_role("alert")).to_be_focused()
    sheet.get_by_role("link", name="T1-100 Type a whole number").click()
    expect(sheet.get_by_label("Good, T1-100")).to_be_focused()
    expect(sheet.get_by_label("Good, T1-100")).to_have_value("one")
    sheet.get_by_label("Good, T1-100").fill("1")
    sheet.get_by_role("button", name="Record the counts").first.click()
    sheet.wait_for_url("**/receipts/*/")
    assert ReceiptLine.objects.count() == 1


def test_all_as_slipped_is_asked_for(sheet: Page) -> None:
    expect(sheet.get_by_label("Good, T1-201")).to_have_value("")
    sheet.get_by_role("button", name="All as slipped").click()
    expect(sheet.get_by_label("Good, T1-201")).to_have_value("8")
    assert not ReceiptLine.objects.exists()
