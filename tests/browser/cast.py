"""The people of the demo shop, each with a browser of their own, and what goes wrong in any of them."""

from functools import cached_property
from pathlib import Path
from typing import Any

import yaml
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Locator, Page, Response, expect

from tests.browser.site import ROOT, Site

DESK = {"width": 1280, "height": 800}
UPRIGHT = {"width": 800, "height": 1280}
LYING = {"width": 1024, "height": 768}
SIZES = {"desk": DESK, "upright": UPRIGHT, "lying": LYING}
# Others may be at work on the same two cores; nothing waits longer than it has to.
PATIENCE_MS = 60_000
expect.set_options(timeout=PATIENCE_MS / 2)
# What a browser says by itself of every answer above 399; the tests look at those answers themselves.
ANSWER_ABOVE_399 = "Failed to load resource: the server responded with a status of 4"


class Cast:
    """Opens browsers on one site, and keeps what their consoles complain of."""

    def __init__(self, site: Site, chromium: Browser) -> None:
        self.site = site
        self.chromium = chromium
        self.trouble: list[str] = []
        self._desks: dict[str, Page] = {}
        self._contexts: list[BrowserContext] = []

    @cached_property
    def people(self) -> dict[str, dict[str, Any]]:
        text = Path(ROOT / "fixtures" / "shop.yaml").read_text(encoding="utf-8")
        return {p["username"]: p for p in yaml.load(text, Loader=yaml.BaseLoader)["people"]}

    def pin(self, username: str) -> str:
        return str(self.people[username]["pin"])

    def name(self, username: str) -> str:
        return str(self.people[username]["name"])

    def browser(self, *, size: dict[str, int] = DESK, script: bool = True) -> Page:
        """A browser that nobody has used yet."""
        context = self.chromium.new_context(
            base_url=self.site.address, viewport=size, java_script_enabled=script, accept_downloads=True
        )
        context.set_default_timeout(PATIENCE_MS)
        self._contexts.append(context)
        page = context.new_page()
        page.on("console", self._heard)
        page.on("pageerror", lambda error: self.trouble.append(f"{page.url}: {error}"))
        page.on("response", self._answered)
        return page

    def desk(self, username: str) -> Page:
        """Somebody's own desk, signed in at by name and password."""
        if username not in self._desks:
            self._desks[username] = sign_in(self.browser(), self.people[username])
        return self._desks[username]

    def tablet(
        self, bay: int, *, by: str = "keel", size: dict[str, int] = UPRIGHT, script: bool = True
    ) -> Page:
        """A browser that somebody has made the tablet of a bay by a code of the manager's."""
        desk = self.desk(by)
        desk.goto("/shop/tablets/")
        desk.get_by_label("Bay", exact=True).select_option(str(bay))
        desk.get_by_role("button", name="Make a code").click()
        code = desk.locator(".one-time-code").inner_text()
        page = self.browser(size=size, script=script)
        page.goto("/tablet/")
        page.get_by_label("Code").fill(code)
        page.get_by_role("button", name="Make it the tablet").click()
        page.get_by_role("button", name="Begin turn").wait_for()
        page.wait_for_load_state()
        return page

    def close(self) -> None:
        for context in self._contexts:
            context.close()

    def _heard(self, message: ConsoleMessage) -> None:
        if message.type in {"error", "warning"} and not message.text.startswith(ANSWER_ABOVE_399):
            self.trouble.append(f"{message.location.get('url')}: {message.text}")

    def _answered(self, response: Response) -> None:
        if response.status >= 500:
            self.trouble.append(f"{response.request.method} {response.url} answered {response.status}")


def sign_in(page: Page, person: dict[str, Any]) -> Page:
    page.goto("/sign-in/")
    page.get_by_label("Name").fill(person["username"])
    page.get_by_label("Password").fill(person["password"])
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("button", name="Sign out").wait_for()
    return page


def follow(page: Page, link: Locator) -> None:
    """Touch what leads to another page, and wait until that one stands there with its scripts."""
    with page.expect_navigation(timeout=PATIENCE_MS):
        link.click()


def answered(page: Page, press: Locator) -> Response:
    """Press what posts; the answer that comes of it."""
    with page.expect_response(lambda r: r.request.method == "POST", timeout=PATIENCE_MS) as sent:
        press.click()
    return sent.value
