"""Real Chromium for the tests that need it, and a small site made of the components alone."""

import mimetypes
import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from urllib.parse import urlsplit

import django_htmx
import pytest
from django.conf import settings
from django.template.loader import render_to_string
from playwright.sync_api import Browser, Page, Route, sync_playwright

from tests.browser.cast import Cast
from tests.browser.site import Site, bring_parts, up
from tests.once import Once

# Playwright keeps a loop running in the thread of the tests, beside which they read rows.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "1")

# Preferably without a window around it, which costs a quarter more and is looked at by nobody.
CHROMIUM = next(
    (path for path in (Path("/usr/bin/chromium-headless-shell"),) if path.exists()), Path("/usr/bin/chromium")
)
ARGUMENTS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]

# Neither HTTPS nor localhost: what browsers keep back there must not be missed at the bay.
SITE = "http://bench.test"

Show = Callable[[str], Page]


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(CHROMIUM), args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture
def tab(chromium: Browser) -> Iterator[Page]:
    """A tablet's tab held upright, in which an error of a script fails the test."""
    context = chromium.new_context(viewport={"width": 800, "height": 1280})
    page = context.new_page()
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    yield page
    context.close()
    assert errors == []


@pytest.fixture
def show(tab: Page) -> Show:
    """Opens a page with this body, the styles and every script, as the frames load them."""

    def serve(body: str) -> Page:
        tab.route(f"{SITE}/**", lambda route: _answer(route, body))
        tab.goto(f"{SITE}/")
        return tab

    return serve


@pytest.fixture
def component() -> Callable[..., str]:
    def draw(name: str, /, **parameters: object) -> str:
        return render_to_string(f"components/_{name}.html", parameters)

    return draw


def _answer(route: Route, body: str) -> None:
    path = urlsplit(route.request.url).path
    if path == "/":
        route.fulfill(content_type="text/html", body=document(body))
    elif path.startswith("/static/"):
        answer_static(route)
    else:
        route.fulfill(status=404, body="")


def answer_static(route: Route) -> None:
    file = _static(urlsplit(route.request.url).path.removeprefix("/static/"))
    kind = mimetypes.guess_type(file.name)[0] or "application/octet-stream"
    route.fulfill(content_type=kind, body=file.read_bytes())


def _static(name: str) -> Path:
    if name == "htmx.js":
        return Path(django_htmx.__file__).parent / "static" / "django_htmx" / "htmx-2.min.js"
    return Path(settings.BASE_DIR) / "static" / name


def document(body: str) -> str:
    styles = ["tokens.css", "base.css", *(f"components/{name}.css" for name in ("bay", "keypad", "figure"))]
    own = ("desk", "entries", "keypad", "checkpoints", "instruments")
    scripts = ["htmx.js", *(f"js/{name}.js" for name in own)]
    head = "".join(f'<link rel="stylesheet" href="/static/css/{name}">' for name in styles)
    head += "".join(f'<script src="/static/{name}" defer></script>' for name in scripts)
    return (
        f'<!doctype html><html lang="en"><head><title>Bench</title>{head}</head>'
        f'<body class="bay" data-not-sent="No answer">{body}</body></html>'
    )


@pytest.fixture(scope="session")
def demo(first_start: Path, once: Once) -> Path:
    """A folder with the demo loaded and what came after its day; every site is a copy of it."""

    def fill(folder: Path) -> None:
        shutil.copytree(first_start / "var", folder / "var")
        bring_parts(folder / "var")

    return once.made("demo", fill) / "var"


@pytest.fixture(scope="module")
def site(demo: Path, request: pytest.FixtureRequest) -> Iterator[Site]:
    """A real site for the tests of one file, with a database of its own; with the worker and its clock
    where the file says that it needs them."""
    with up(demo, whole=getattr(request.module, "NEEDS_WORKER", False)) as running:
        yield running


@pytest.fixture
def cast(site: Site, chromium: Browser) -> Iterator[Cast]:
    """The shop's people, each with a browser; whatever goes wrong in one of them fails the test."""
    people = Cast(site, chromium)
    yield people
    people.close()
    assert people.trouble == []
