"""An entry keeps its identity until somebody has answered, and is sent once."""

import re
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Thread

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.conftest import SITE, Show, answer_static, document

pytestmark = pytest.mark.browser

UUID_4 = re.compile(r"^[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$")
FORM = """
<form data-entry method="post" action="/entry" hx-post="/entry" hx-target="#answer">
  <input type="hidden" name="entry_id" value="from-the-server"><input name="value" id="value" value="29 1/2">
  <button class="button" data-sending="Recording">Record</button>
</form><div id="answer"></div>
"""


class Server:
    """Answers as it is told and keeps what came."""

    def __init__(self, page: Page) -> None:
        self.status: int | None = 200
        self.came: list[dict[str, str]] = []
        self.held: list[Route] = []
        self.holds = False
        self.leads_to = ""
        page.route(f"{SITE}/entry", self.answer)

    def answer(self, route: Route) -> None:
        self.came.append(dict(re.findall(r"([^&=]+)=([^&]*)", route.request.post_data or "")))
        if self.holds:
            self.held.append(route)
        elif self.status is None:
            route.abort("connectionreset")
        elif self.leads_to:
            route.fulfill(status=200, headers={"HX-Redirect": self.leads_to})
        else:
            route.fulfill(status=self.status, body=f"answer {len(self.came)}", content_type="text/html")


@pytest.fixture
def page(show: Show) -> Page:
    return show(FORM)


@pytest.fixture
def server(page: Page) -> Server:
    return Server(page)


def record(page: Page) -> None:
    page.get_by_role("button", name="Record").click()


def test_shown_form_has_an_identity_of_its_own(page: Page) -> None:
    first = page.locator("[name=entry_id]").input_value()
    assert UUID_4.match(first)
    page.reload()
    assert page.locator("[name=entry_id]").input_value() != first


def test_entry_carries_when_it_was_entered(page: Page, server: Server) -> None:
    record(page)
    expect(page.locator("#answer")).to_have_text("answer 1")
    assert re.match(r"^\d{4}-\d\d-\d\dT\d\d%3A\d\d%3A\d\d\.\d{3}Z$", server.came[0]["entered_at"])


def test_answered_entry_makes_way_for_a_new_one(page: Page, server: Server) -> None:
    record(page)
    expect(page.locator("#answer")).to_have_text("answer 1")
    expect(page.locator("[name=entry_id]")).not_to_have_value(server.came[0]["entry_id"])
    record(page)
    expect(page.locator("#answer")).to_have_text("answer 2")
    assert server.came[0]["entry_id"] != server.came[1]["entry_id"]


@pytest.mark.parametrize("lost", [None, 503])
def test_unanswered_entry_is_sent_again_as_the_same(page: Page, server: Server, lost: int | None) -> None:
    server.status = lost
    record(page)
    expect(page.get_by_role("alert")).to_have_text("No answer")
    expect(page.locator("#value")).to_have_value("29 1/2")
    server.status = 200
    record(page)
    expect(page.locator("#answer")).to_have_text("answer 2")
    assert server.came[0] == server.came[1]
    expect(page.get_by_role("alert")).to_have_count(0)


def test_second_click_sends_nothing_and_the_button_says_so(page: Page, server: Server) -> None:
    server.holds = True
    record(page)
    button = page.locator("button")
    expect(button).to_have_text("Recording")
    expect(button).to_have_attribute("aria-disabled", "true")
    button.click(force=True)
    page.locator("#value").press("Enter")
    server.held[0].fulfill(status=200, body="answer 1", content_type="text/html")
    expect(page.locator("#answer")).to_have_text("answer 1")
    expect(button).to_have_text("Record")
    assert len(server.came) == 1


def test_a_form_whose_answer_leads_away_takes_no_second_press(page: Page, server: Server) -> None:
    server.leads_to = "#next"
    record(page)
    page.wait_for_url(f"{SITE}/#next")
    button = page.locator("button")
    expect(button).to_have_text("Recording")
    button.click(force=True)
    assert len(server.came) == 1


PLAIN = """
<form data-entry method="post" action="/entry">
  <input type="hidden" name="entry_id" value="from-the-server"><input name="value" id="value" value="29 1/2">
  <button class="button">Record</button>
</form>
"""


@pytest.fixture
def plain_page(show: Show) -> Page:
    return show(PLAIN)


def test_lost_network_leaves_a_plain_form_as_it_stands(plain_page: Page) -> None:
    server = Server(plain_page)
    server.status = None
    record(plain_page)
    expect(plain_page.get_by_role("alert")).to_have_text("No answer")
    expect(plain_page.locator("#value")).to_have_value("29 1/2")


@pytest.mark.parametrize("status", [200, 403, 409, 422])
def test_page_that_answers_a_plain_form_is_shown(plain_page: Page, status: int) -> None:
    server = Server(plain_page)
    server.status = status
    record(plain_page)
    expect(plain_page.locator("body")).to_have_text("answer 1")
    assert plain_page.url == f"{SITE}/"


class Leading(BaseHTTPRequestHandler):
    """Shows the form, leads every entry on to the next page."""

    def do_GET(self) -> None:
        body = "next" if self.path == "/next" else document(PLAIN.replace("/entry", "/led"))
        self.reply(200, body)

    def do_POST(self) -> None:
        self.rfile.read(int(self.headers["Content-Length"]))
        self.send_response(303)
        self.send_header("Location", "/next")
        self.end_headers()

    def reply(self, status: int, body: str) -> None:
        self.send_response(status)
        self.send_header("Content-Type", "text/html; charset=utf-8")
        self.end_headers()
        self.wfile.write(body.encode())

    def log_message(self, *_words: object) -> None:
        return


@pytest.fixture
def leading() -> Iterator[str]:
    with ThreadingHTTPServer(("127.0.0.1", 0), Leading) as server:
        Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()


def test_plain_form_follows_where_it_is_led(tab: Page, leading: str) -> None:
    tab.route(f"{leading}/static/**", answer_static)
    tab.goto(f"{leading}/")
    tab.get_by_role("button", name="Record").click()
    expect(tab.locator("body")).to_have_text("next")
    assert tab.url == f"{leading}/next"
