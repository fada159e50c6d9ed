"""From an empty record to the first car, by links and forms alone, as the floor says it."""

from urllib.parse import urlsplit

import pytest

from jobs.models import Job
from shop.first_manager import first_code
from shop.verification import verify_record
from tests.plain_browser import PlainBrowser

pytestmark = pytest.mark.django_db
PASSWORD, PIN = "a long word for the desk", "4711"
TAPE = {
    "code": "TP-1",
    "name": "Tape, 16 ft",
    "kind": "tape",
    "unit": "in",
    "range_low": "0 in",
    "range_high": "192 in",
    "resolution": "1/32 in",
    "permissible_error": "1/32 in",
}
KIT = {"kit": "KIT-1", "kit_name": "Test kit", "supplier": "Test supplier", "part_number": "TC-1"}
KIT |= {"description": "Cradle", "operation": "I10"}
PROCEDURE = {"code": "P-1", "name": "Test route", "kit": "KIT-1", "vehicle_family": "Test cars"}
CAR = {"customer_name": "Test Customer", "model_year": "1966", "description": "Test car", "serial": "T-1"}


def step(browser: PlainBrowser, word: str) -> PlainBrowser:
    """The first page's step of that word, followed."""
    return browser.open("/floor/").follow(word)


def taken_in(manager: PlainBrowser, name: str, role: str) -> PlainBrowser:
    """Somebody taken in, who sets password and PIN in a browser of their own, and signs in there."""
    page = step(manager, "Take in who works here").follow("Take somebody in")
    page.send("Take them in", full_name=name, username=name.lower(), role=role)
    person, own = page.address, PlainBrowser()
    for button, secret in (("Start: set a password", PASSWORD), ("Start: set a PIN", PIN)):
        page.open(person).send(button)
        (address,) = (e.text or "" for e in page.page.iter() if e.get("class") == "private-address")
        own.open(urlsplit(address).path).send("Set it", first=secret, again=secret)
    own.open("/sign-in/").send("Sign in", username=name.lower(), password=PASSWORD)
    return own


def test_a_shop_begins_and_opens_its_first_job() -> None:
    manager = PlainBrowser().open("/")
    manager.send(
        "Begin the shop",
        code=first_code(),
        shop="Test Chassis",
        full_name="Ash",
        username="ash",
        password=PASSWORD,
        password_again=PASSWORD,
        pin=PIN,
        pin_again=PIN,
    )
    step(manager, "Look through the settings").send("Save")
    step(manager, "Add the bays").follow("Add a bay").send("Add it", name="Press")
    lead, clerk = taken_in(manager, "Lind", "lead"), taken_in(manager, "Pike", "parts_clerk")
    step(manager, "Enter the instruments").follow("Add an instrument").send("Enter it", **TAPE)
    step(manager, "Put a tablet into a bay").send("Make a code", bay="1")
    (code,) = (e.text or "" for e in manager.page.iter() if "one-time-code" in e.get("class", ""))
    PlainBrowser().open("/tablet/").send("Make it the tablet", code=code.strip())

    step(clerk, "Write a kit list").follow("Write a kit list").send("Begin", **KIT)
    clerk.send("Keep it and go on").send("Release it", pin=PIN)
    step(lead, "Write a procedure").follow("Write a procedure").send("Begin", **PROCEDURE, route="one")
    lead.send("Keep it and go on").send("Release it", pin=PIN)
    step(clerk, "Open a kit order").follow("New kit order")
    clerk.send("Open the order", number="K-1", kit_revision=only(clerk, "kit_revision"))
    page = step(manager, "Open the first job").follow("Open a job")
    done = [step.what for step in manager.open("/floor/").answer.context["page"].first_steps if step.is_done]
    assert len(done) == 8
    page.open("/jobs/open/")
    chosen = {name: only(page, name) for name in ("procedure_revision", "kit_order", "bay")}
    page.send("Open the job", **CAR, **chosen)
    assert "Test car" in page.words
    assert Job.objects.get().bay is not None
    assert "Before the first car" not in manager.open("/floor/").words
    assert verify_record().is_whole


def only(browser: PlainBrowser, name: str) -> str:
    """The only choice of a list beside none."""
    (select,) = (e for e in browser.page.iter("select") if e.get("name") == name)
    (found,) = (e.get("value", "") for e in select.iter("option") if e.get("value"))
    return found
