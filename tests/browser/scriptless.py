"""Real Chromium with script switched off, handled like the plain browser: what is found in the page is
typed into, ticked and pressed there."""

from typing import Any
from xml.etree.ElementTree import Element

import tinyhtml5
from playwright.sync_api import Locator, Page, Response

from tests.plain_browser import CONTROLS, NotInPageError, PlainBrowser, PlainForm, words_of


class ScriptlessForm(PlainForm):
    """A form that is filled in by hand, as it stands there."""

    def __init__(self, form: PlainForm, browser: "Scriptless") -> None:
        super().__init__(form.element, form.page)
        self.browser = browser

    def fill(self, name: str, value: Any) -> None:
        super().fill(name, value)
        mine = [e for e in self.controls if e.get("name") == name and e.tag != "button"]
        kind = mine[0].get("type", "text")
        chosen = next((e for e in mine if e.get("value", "on") == value), mine[0])
        at = self.browser.place_of(chosen if kind in {"radio", "checkbox"} else mine[0])
        if mine[0].tag == "select":
            at.select_option(value)
        elif kind in {"radio", "checkbox"}:
            at.check()
        elif kind == "file":
            at.set_input_files({"name": value.name, "mimeType": value.content_type, "buffer": value.read()})
        else:
            at.fill(value)


class Scriptless(PlainBrowser):
    """Somebody's browser; `site` is where the shop is."""

    def __init__(self, page: Page, site: str) -> None:
        super().__init__()
        self.tab, self.site = page, site
        self.answered: Response | None = None
        self.shown: Element = Element("html")

    def open(self, address: str) -> "Scriptless":
        self._look(self.tab.goto(f"{self.site}{self._absolute(address)}"))
        return self

    def follow(self, word: str) -> "Scriptless":
        link = next((e for e in self.page.iter("a") if e.get("href") and word in words_of(e)), None)
        if link is None:
            raise NotInPageError(f"no link {word} at {self.address}")
        return self._go_on(self.place_of(link))

    def form(self, button: str, /, **held: str) -> ScriptlessForm:
        return ScriptlessForm(super().form(button, **held), self)

    def press(self, form: PlainForm, word: str) -> "Scriptless":
        return self._go_on(self.place_of(form.button(word)))

    def place_of(self, element: Element) -> Locator:
        """Where an element of the page stands; what is folded over it is opened, as by a finger."""
        kinds = CONTROLS if element.tag in CONTROLS else {element.tag}
        alike = [e for e in self.page.iter() if e.tag in kinds]
        found = self.tab.locator(",".join(sorted(kinds))).nth(
            next(n for n, e in enumerate(alike) if e is element)
        )
        if any(element in set(e.iter()) for e in self.page.iter("details") if e.get("open") is None):
            while (folded := found.locator("xpath=ancestor::details[not(@open)]")).count():
                folded.first.locator("> summary").click()
        return found

    @property
    def page(self) -> Element:
        return self.shown

    @property
    def status(self) -> int:
        return self.answered.status if self.answered else 0

    def _go_on(self, pressed: Locator) -> "Scriptless":
        with self.tab.expect_navigation() as led:
            pressed.click()
        self._look(led.value)
        return self

    def _look(self, answer: Response | None) -> None:
        self.answered = answer
        self.address = self.tab.url.removeprefix(self.site)
        self.shown = tinyhtml5.parse(self.tab.content(), namespace_html_elements=False)
