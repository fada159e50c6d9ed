"""The customer's day: a link from the desk, a yes to the estimate, a no to more; the desk sees both."""

import http.client
import subprocess
import sys

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from tests.browser.cast import Cast, answered
from tests.browser.site import ROOT, UP_WITHIN_S, environment
from tests.running_site import SOON_S, free_port, wait_until

pytestmark = [pytest.mark.browser, pytest.mark.process]
GUNICORN = (sys.executable, "-m", "gunicorn", "-c", "python:shop.web_server", "--workers", "1")
PHONE = {"width": 390, "height": 844}


def is_sound(page: Page) -> bool:
    """Nothing that axe finds, nothing wider than the phone."""
    faults = [fault["id"] for fault in Axe().run(page).response["violations"]]
    wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    return (faults, wide) == ([], 0)


def test_the_customer_answers_by_phone_and_the_desk_sees_it(cast: Cast) -> None:
    desk = cast.desk("quill")
    desk.goto("/jobs/1004/link/")
    desk.get_by_role("button", name="Make a link").click()
    address = desk.get_by_role("textbox", name="Address").input_value()
    phone = cast.browser(size=PHONE)
    phone.goto(address)
    expect(phone.locator("main")).to_contain_text("cannot be put back as it was")
    assert is_sound(phone)

    phone.get_by_label("Yes, do it, and cut the car for it").check()
    send = phone.get_by_role("button", name="Send my answer")
    assert answered(phone, send).status == 422
    expect(phone.locator(".field-error").first).to_contain_text("Say who allowed it")
    expect(phone.get_by_label("Yes, do it, and cut the car for it")).to_be_checked()
    phone.get_by_label("Your full name, as your signature").fill("Ignatius Alderbrook")
    answered(phone, send)
    expect(phone.locator("main")).to_contain_text("Your yes is recorded")

    the_desk_asks_for_more(desk)
    no_without_script(cast, address)
    assert is_sound(phone)

    desk.goto("/jobs/1004/link/")
    desk.get_by_role("button", name="Revoke").click()
    expect(desk.locator("#messages")).to_contain_text("does not work any more")
    gone = phone.goto(address)
    assert gone
    assert gone.status == 404
    expect(phone.locator("main")).to_contain_text("This link does not work")
    assert is_sound(phone)
    tries_are_counted_over_two_servers(cast)


def tries_are_counted_over_two_servers(cast: Cast) -> None:
    """A second web server on the same shop: what was tried at both adds up; neither lets one more through.

    The phone at the revoked link was the first of twenty.
    """
    port = free_port()
    command = (*GUNICORN, "-b", f"127.0.0.1:{port}", "shop.wsgi")
    server = subprocess.Popen(command, cwd=ROOT, env=environment(cast.site.var, cast.site.port))
    try:
        wait_until(lambda: knock(port, "/") in {200, 302}, "the second server answers", within_s=UP_WITHIN_S)
        ports = [cast.site.port, port]
        assert [knock(ports[n % 2], f"/c/{n:043d}/") for n in range(19)] == [404] * 19
        assert [knock(at, f"/c/{n:043d}/") for n, at in enumerate(ports)] == [429, 429]
    finally:
        server.terminate()
        server.wait(SOON_S)


def knock(port: int, path: str) -> int | None:
    asked = http.client.HTTPConnection("localhost", port, timeout=SOON_S)
    try:
        asked.request("GET", path)
        return asked.getresponse().status
    except OSError:
        return None
    finally:
        asked.close()


def the_desk_asks_for_more(desk: Page) -> None:
    desk.goto("/jobs/1004/money/")
    expect(desk.locator("#authority")).to_contain_text("private link on the customer's phone")
    section = desk.locator("#extra-work")
    section.get_by_text("Something was found").click()
    section.get_by_label("What was found, and what is to be done").fill(
        "The steering shaft is worn out; a new one."
    )
    section.get_by_label("Price, tax included").fill("310.00")
    assert answered(desk, section.get_by_role("button", name="Ask the customer")).status == 204
    expect(desk.locator("#extra-work")).to_contain_text("waits for the customer")


def no_without_script(cast: Cast, address: str) -> None:
    without_script = cast.browser(size=PHONE, script=False)
    without_script.goto(address)
    without_script.get_by_label("No", exact=True).check()
    without_script.get_by_label("Your full name").fill("Ignatius Alderbrook")
    without_script.get_by_role("button", name="Send my answer").click()
    expect(without_script.locator("main")).to_contain_text("You said no.")
