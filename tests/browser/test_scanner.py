"""A scanner types like a keyboard: a scan finds its field whatever has the focus, and is never a reading."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Show

pytestmark = pytest.mark.browser
INSTRUMENTS = """
<fieldset data-instruments><legend>Wrench</legend>
  <ul class="options"><li><label>
  <input type="radio" name="p_instrument" value="TW-1"> <span>TW-1 Wrench</span></label></li>
  <li><label>
  <input type="radio" name="p_instrument" value="4711"> <span>4711 Old wrench</span></label></li></ul>
  <label for="number">Number</label> <input id="number" name="p_instrument_number" data-by-number>
  <p data-picked role="status" data-unknown="Nothing of that number." data-able="These can be used: TW-1"></p>
  <ul><li data-refused="TW-3">TW-3 is out of calibration.</li></ul>
</fieldset>"""


@pytest.fixture
def task(show: Show, component: Callable[..., str]) -> Page:
    """A torque to be keyed: instrument, reading, a lot in words, the button that records."""
    reading = component("reading", name="value", label="Reading", kind="decimal", unit="lbf·ft")
    rest = '<label for="lot">Lot</label><input type="text" id="lot"><button id="record">Record</button>'
    body = f'<form method="post" action="/entry">{INSTRUMENTS}{reading}{component("keypad")}{rest}</form>'
    return show(body)


# Keys as a scanner sends them: one after the other without a pause, each written where the focus is.
KEYS = """([text, end]) => {
  const send = (key) => document.activeElement.dispatchEvent(
    new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true }));
  for (const key of text) {
    const at = document.activeElement;
    if (send(key) && at.matches("input:not([type=radio])")) {
      at.value += key;
      at.dispatchEvent(new Event("input", { bubbles: true }));
    }
  }
  return end ? send(end) : true;
}"""


def scan(page: Page, code: str, *, end: str = "Enter") -> bool:
    """True where the last key did what it does of itself: send a form, go on to the next field."""
    return bool(page.evaluate(KEYS, [code, end]))


@pytest.mark.parametrize("focus", ["#value", "#record", "input[value='4711']", "body"])
@pytest.mark.parametrize("end", ["Enter", "Tab"])
def test_a_scan_picks_the_instrument_whatever_has_the_focus(task: Page, focus: str, end: str) -> None:
    if focus != "body":
        task.locator(focus).focus()
    assert not scan(task, "tw-1", end=end)
    expect(task.locator("input[value='TW-1']")).to_be_checked()
    expect(task.locator("[data-picked]")).to_have_text("TW-1 Wrench")
    expect(task.locator("#value")).to_have_value("")
    expect(task.locator("#value")).to_be_focused()


def test_what_was_keyed_before_the_scan_stays_as_it_was(task: Page) -> None:
    task.locator("#value").fill("65")
    scan(task, "TW-1")
    expect(task.locator("#value")).to_have_value("65")
    expect(task.locator("[data-reading-value]")).to_have_text("65")
    scan(task, "4711")
    expect(task.locator("input[value='4711']")).to_be_checked()
    expect(task.locator("#value")).to_have_value("65")


def test_one_that_may_not_be_used_and_one_nobody_knows_are_told(task: Page) -> None:
    task.locator("#value").focus()
    scan(task, "TW-3")
    expect(task.locator("[data-picked]")).to_contain_text("out of calibration")
    scan(task, "XQ-77")
    expect(task.locator("[data-picked]")).to_contain_text("Nothing of that number.")
    expect(task.locator("#value")).to_have_value("")
    expect(task.locator("input[name=p_instrument]:checked")).to_have_count(0)


def test_a_figure_is_keyed_and_a_lot_is_scanned_where_they_belong(task: Page) -> None:
    """Figures alone are no scan, however fast they come; a field for words takes what is scanned into it."""
    task.locator("#lot").focus()
    assert scan(task, "L-2231")
    expect(task.locator("#lot")).to_have_value("L-2231")
    expect(task.locator("input[name=p_instrument]:checked")).to_have_count(0)
    task.locator("#value").focus()
    assert scan(task, "65.5", end="Tab")
    expect(task.locator("#value")).to_have_value("65.5")


def test_where_no_instrument_is_asked_for_a_scan_is_no_reading_either(
    show: Show, component: Callable[..., str]
) -> None:
    reading = component("reading", name="value", label="Reading", kind="inch", unit="in")
    page = show(f'<form method="post" action="/entry">{reading}{component("keypad")}</form>')
    page.locator("#value").focus()
    assert not scan(page, "TW-1")
    expect(page.locator("#value")).to_have_value("")
