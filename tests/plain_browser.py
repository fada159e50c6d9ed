"""A browser without script: it follows links and sends forms that stand in the pages, and nothing else."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any
from urllib.parse import urldefrag, urljoin
from xml.etree.ElementTree import Element

import tinyhtml5
from django.http import HttpResponse
from django.test import Client

NO_VALUE = frozenset({"submit", "button", "image", "reset", "file"})
CONTROLS = frozenset({"input", "select", "textarea", "button"})
MOST_REDIRECTS = 5


class NotInPageError(LookupError):
    """What somebody would look for is not in the page."""


def words_of(element: Element) -> str:
    """The words inside of an element, without what is hidden in styles and scripts."""
    if element.tag in {"script", "style", "template"}:
        return ""
    parts = [element.text or ""]
    for child in element:
        parts += [words_of(child), child.tail or ""]
    return " ".join("".join(parts).split())


@dataclass
class PlainForm:
    """One form of a page with what it holds; `page` is the whole page, for controls that stand elsewhere."""

    element: Element
    page: Element
    filled: dict[str, list[Any]] = field(default_factory=dict)

    @cached_property
    def controls(self) -> list[Element]:
        mine = self.element.get("id")
        inside = set(map(id, self.element.iter()))
        able = (e for e in self.page.iter() if e.tag in CONTROLS and e.get("disabled") is None)
        return [e for e in able if (e.get("form") == mine if e.get("form") else id(e) in inside)]

    @property
    def names(self) -> set[str]:
        """The fields that somebody sees and may fill in."""
        return {
            e.get("name", "") for e in self.controls if e.tag != "button" and e.get("type") != "hidden"
        } - {""}

    @property
    def buttons(self) -> list[Element]:
        return [e for e in self.controls if _is_button(e)]

    def button(self, word: str) -> Element:
        found = next((e for e in self.buttons if word in (words_of(e) or e.get("value", ""))), None)
        if found is None:
            raise NotInPageError(f"no button {word}: {[words_of(e) for e in self.buttons]}")
        return found

    def values(self) -> dict[str, list[Any]]:
        """What is sent as the form stands."""
        found: dict[str, list[Any]] = {}
        for control in self.controls:
            name = control.get("name", "")
            if name and name not in self.filled:
                found.setdefault(name, []).extend(_held(control))
        return {name: held for name, held in (found | self.filled).items() if held}

    def fill(self, name: str, value: Any) -> None:
        """Type into a field, choose one of its values, or tick it.

        Raises:
            NotInPageError: there is no such field, or it does not offer that value.
        """
        mine = [e for e in self.controls if e.get("name") == name and e.tag != "button"]
        if not mine:
            raise NotInPageError(f"no field {name}: {sorted(self.names)}")
        offered = [choice for control in mine for choice in offered_by(control)]
        if offered and value not in offered:
            raise NotInPageError(f"{name} offers {offered}, not {value}")
        self.filled[name] = [value] if value is not None else []

    def missing(self) -> list[str]:
        """The fields that a browser would not let be empty."""
        values = self.values()
        return [
            e.get("name", "")
            for e in self.controls
            if e.get("required") is not None and not any(v != "" for v in values.get(e.get("name", ""), []))
        ]


class PlainBrowser:
    """Somebody's browser with script switched off. Requests without a valid token of the form are refused."""

    def __init__(self) -> None:
        self.client = Client(enforce_csrf_checks=True)
        self.address = "/"
        self.answer: HttpResponse = HttpResponse()

    def open(self, address: str) -> "PlainBrowser":
        """Go to an address, on over whatever it leads to."""
        self._take(self.client.get(self._absolute(address)), address)
        return self

    def follow(self, word: str) -> "PlainBrowser":
        """Touch the first link with a word in it."""
        link = next((e for e in self.page.iter("a") if e.get("href") and word in words_of(e)), None)
        if link is None:
            raise NotInPageError(f"no link {word} at {self.address}")
        return self.open(link.get("href", ""))

    @property
    def status(self) -> int:
        return self.answer.status_code

    @cached_property
    def _parsed(self) -> dict[int, Element]:
        return {}

    @property
    def page(self) -> Element:
        known = self._parsed.get(id(self.answer))
        if known is None:
            self._parsed.clear()
            known = tinyhtml5.parse(self.answer.content.decode(), namespace_html_elements=False)
            self._parsed[id(self.answer)] = known
        return known

    @property
    def words(self) -> str:
        return words_of(self.page)

    def forms(self) -> Iterator[PlainForm]:
        for element in self.page.iter("form"):
            yield PlainForm(element, self.page)

    def form(self, button: str, /, **held: str) -> PlainForm:
        """The form with that button that holds these values already, such as a hidden checkpoint."""
        for form in self.forms():
            values = form.values()
            fits = all(values.get(name) == [value] for name, value in held.items())
            if fits and any(button in (words_of(e) or e.get("value", "")) for e in form.buttons):
                return form
        told = [[words_of(b) for b in form.buttons] for form in self.forms()]
        raise NotInPageError(
            f"no form with {button} {held} at {self.address} ({self.status}): {told} {self.words[:900]}"
        )

    def press(self, form: PlainForm, word: str) -> "PlainBrowser":
        """Send a form by one of its buttons.

        Raises:
            NotInPageError: a field that must be filled in is empty: a browser sends nothing.
        """
        if missing := form.missing():
            raise NotInPageError(f"to be filled in first: {missing}")
        button = form.button(word)
        values = form.values()
        if button.get("name"):
            values.setdefault(button.get("name", ""), []).append(button.get("value", ""))
        target = self.where_goes(form, button)
        if form.element.get("method", "get").lower() == "post":
            self._take(self.client.post(target, values), target)
        else:
            self._take(self.client.get(target, values), target)
        return self

    def send(self, button: str, held: dict[str, str] | None = None, /, **filled: Any) -> "PlainBrowser":
        """Fill in the form with that button, and send it."""
        form = self.form(button, **(held or {}))
        for name, value in filled.items():
            form.fill(name, value)
        return self.press(form, button)

    @property
    def has_page(self) -> bool:
        """Whether what was answered is a page, and no file or picture."""
        return self.answer.get("Content-Type", "").startswith("text/html") and not self.answer.streaming

    def where_goes(self, form: PlainForm, button: Element | None = None) -> str:
        """The address to which a form is sent."""
        own = button.get("formaction") if button is not None else None
        return self._absolute(own or form.element.get("action") or self.address)

    def _absolute(self, address: str) -> str:
        return urldefrag(urljoin(self.address, address)).url

    def _take(self, answer: HttpResponse, address: str) -> None:
        self.address, self.answer = self._absolute(address), answer
        for _ in range(MOST_REDIRECTS):
            if answer.status_code not in {301, 302, 303}:
                return
            self.address = self._absolute(answer["Location"])
            self.answer = answer = self.client.get(self.address)
        raise AssertionError(f"led round in a circle at {self.address}")


def _is_button(element: Element) -> bool:
    kind = element.get("type", "submit" if element.tag == "button" else "text")
    return element.tag in {"button", "input"} and kind == "submit"


def _held(control: Element) -> list[str]:
    """What a control sends as it stands."""
    kind = control.get("type", "text")
    if control.tag == "button" or (control.tag == "input" and kind in NO_VALUE):
        return []
    if control.tag == "textarea":
        return [(control.text or "").removeprefix("\n")]
    if control.tag == "select":
        options = list(control.iter("option"))
        chosen = [o for o in options if o.get("selected") is not None]
        if control.get("multiple") is None:
            chosen = chosen[:1] or options[:1]
        return [_option(o) for o in chosen]
    if kind in {"radio", "checkbox"}:
        return [control.get("value", "on")] if control.get("checked") is not None else []
    return [control.get("value", "")]


def offered_by(control: Element) -> list[str]:
    """The values that can be chosen; none where anything can be typed."""
    if control.tag == "select":
        return [_option(o) for o in control.iter("option")]
    if control.tag == "input" and control.get("type") in {"radio", "checkbox"}:
        return [control.get("value", "on")]
    return []


def _option(option: Element) -> str:
    value = option.get("value")
    return words_of(option) if value is None else value
