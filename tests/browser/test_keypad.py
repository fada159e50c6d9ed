"""The keys for gloved hands: what is touched, what stands in the input, what is read back."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Show

pytestmark = pytest.mark.browser


@pytest.fixture
def keyed(show: Show, component: Callable[..., str]) -> Callable[..., Page]:
    def open_with(kind: str = "inch", **parameters: object) -> Page:
        reading = component("reading", name="value", label="Reading", kind=kind, unit="in", **parameters)
        return show(f'<form method="post" action="/entry">{reading}{component("keypad")}</form>')

    return open_with


def touch(page: Page, *keys: str) -> None:
    for key in keys:
        page.locator(f'[data-key="{key}"]:visible').click()


@pytest.mark.parametrize(
    ("keys", "value"),
    [
        (["2", "9", "4/8", "line-more"], "29 17/32"),
        (["2", "9", "4/8"], "29 1/2"),
        (["2", "9", "6/8", "line-less"], "29 23/32"),
        (["2", "9", "7/8", "line-more", "line-more", "line-more", "line-more"], "30"),
        (["3", "0", "line-less"], "29 31/32"),
        (["1/8"], "1/8"),
        (["2", "9", "1/8", "5/8"], "29 5/8"),
        (["2", "9", "point", "5"], "29.5"),
        (["point", "5"], "0.5"),
        (["2", "9", "4/8", "back"], "29"),
        (["2", "9", "back"], "2"),
        (["2", "9", "4/8", "wipe", "7"], "7"),
        (["0", "7"], "7"),
    ],
)
def test_keys_write_the_value(keyed: Callable[..., Page], keys: list[str], value: str) -> None:
    page = keyed()
    touch(page, *keys)
    expect(page.locator("#value")).to_have_value(value)


def test_every_thirty_second_takes_three_touches_at_most(keyed: Callable[..., Page]) -> None:
    page = keyed()
    for lines in range(1, 32):
        eighth, rest = divmod(lines, 4)
        if rest == 3:
            eighth, rest = eighth + 1, -1
        keys = [f"{eighth}/8"] if 0 < eighth < 8 else ["1", "line-less"] if eighth == 8 else []
        steps = ["line-more"] * rest if rest > 0 else ["line-less"] if rest < 0 and eighth < 8 else []
        touch(page, "wipe", *keys, *steps)
        over, under = page.locator("#value").input_value().split("/")
        assert int(over) * 32 == lines * int(under)
        assert len(keys) + len(steps) <= 3


def test_value_is_read_back_as_a_fraction_and_in_words(keyed: Callable[..., Page]) -> None:
    page = keyed()
    touch(page, "2", "9", "4/8", "line-more")
    expect(page.locator("[data-reading-value] .frac-over")).to_have_text("17")
    expect(page.locator("[data-reading-value] .frac-under")).to_have_text("32")
    expect(page.locator("#value-said")).to_have_text("twenty-nine and seventeen thirty-seconds")


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("29 1/2", "twenty-nine and a half"),
        ("1-5/8", "one and five eighths"),
        ("1/8", "an eighth"),
        ("-3/4", "minus three quarters"),
        ("749.3", "seven hundred forty-nine point three"),
        ("112", "one hundred twelve"),
    ],
)
def test_typing_is_read_back_too(keyed: Callable[..., Page], typed: str, said: str) -> None:
    page = keyed()
    page.locator("#value").fill(typed)
    expect(page.locator("#value-said")).to_have_text(said)


def test_a_value_of_another_form_is_left_as_typed(keyed: Callable[..., Page]) -> None:
    page = keyed()
    page.locator("#value").fill("2' 3 1/2")
    touch(page, "4/8")
    expect(page.locator("#value")).to_have_value("2' 3 1/2")
    expect(page.locator("[data-reading-value]")).to_have_text("2' 3 1/2")


def test_a_digit_behind_a_fraction_is_refused_in_words(keyed: Callable[..., Page]) -> None:
    page = keyed()
    touch(page, "2", "4/8", "9")
    expect(page.locator("#value")).to_have_value("2 1/2")
    expect(page.locator("#value-said")).to_contain_text("take it back or wipe first")


def test_decimal_keys_offer_no_fractions_and_minus_only_where_wanted(keyed: Callable[..., Page]) -> None:
    page = keyed(kind="decimal", signed=True)
    expect(page.locator('[data-key="4/8"]')).to_be_hidden()
    touch(page, "1", "point", "5", "minus")
    expect(page.locator("#value")).to_have_value("-1.5")
    page = keyed(kind="decimal")
    expect(page.locator('[data-keys="decimal"] [data-key="minus"]')).to_be_hidden()


def test_a_count_has_no_point(keyed: Callable[..., Page]) -> None:
    page = keyed(kind="whole")
    expect(page.locator('[data-keys="decimal"] [data-key="point"]')).to_be_hidden()


def test_keys_serve_the_reading_that_had_the_focus(show: Show, component: Callable[..., str]) -> None:
    left = component("reading", name="left", label="Left", kind="inch", unit="in")
    right = component("reading", name="right", label="Right", kind="inch", unit="in")
    page = show(f"<form>{left}{right}{component('keypad')}</form>")
    touch(page, "2")
    page.locator(".reading-value").nth(1).click()
    touch(page, "3")
    expect(page.locator("#left")).to_have_value("2")
    expect(page.locator("#right")).to_have_value("3")


def test_keys_are_large_enough_for_gloves(keyed: Callable[..., Page]) -> None:
    page = keyed()
    boxes = [key.bounding_box() for key in page.locator(".key:visible").all()]
    assert len(boxes) == 22
    assert all(box is not None and box["width"] >= 96 and box["height"] >= 96 for box in boxes)
