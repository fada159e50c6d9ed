"""The steps of one car's whole way with script switched off, for whichever hands play them.

Only links that stand in pages, only forms as they are.
"""

import datetime as dt
import io
from collections.abc import Callable

import pytest
import time_machine
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from jobs.models import Job
from shop.models import Bay
from shop.verification import verify_record
from tests.jobs import small_route
from tests.jobs.short_files import GOOD, KIT, PROCEDURE
from tests.plain_browser import NotInPageError, PlainBrowser

PIN, PASSWORD = "4711", "a long word for the shop"
SLIP_HEAD = "order,slip,carrier,dated,part_number,description,slipped,backordered,eta\n"
SLIP = SLIP_HEAD + "".join(
    f"K-9,PS-91,Test Freight,2026-02-27,{part},{what},{count},0,\n"
    for part, what, count in (
        ("TC-CRADLE", "Cradle", 1),
        ("TC-ARM", "Lower arm", 2),
        ("TC-BOLT", "Arm bolt", 4),
    )
)
BOOKING = {
    "customer_name": "Test Customer",
    "model_year": "1966",
    "description": "Test car",
    "serial": "TEST-0001",
    "scope": "Clip by P-9, rails cut at the line.",
    "given_by": "Test Customer",
    "way": "signed_paper",
    "allows_cutting": "yes",
}
# Whoever reads as a second person, and where a lead passes the operation.
READ_BY, PASSED_BY = {"C10.2": "moss", "W40.1": "lind"}, {"W40": "thorn"}


class Shop:
    """The people of the short route, each with a browser of their own, at one time of the clock."""

    def __init__(self, clock: time_machine.Traveller, open_browser: Callable[[], PlainBrowser]) -> None:
        self.clock, self.open_browser = clock, open_browser
        self.people = {n: small_route._person(n, *row) for n, row in small_route.PEOPLE.items()}
        for person in self.people.values():
            person.set_pin(PIN)
            person.set_password(PASSWORD)
            person.save()
        for code, row in small_route.INSTRUMENTS.items():
            small_route._instrument(code, *row)
        Bay.objects.create(number=1, name="Test bay")
        self.desks: dict[str, PlainBrowser] = {}
        self.number = 0

    def desk(self, who: str, address: str) -> PlainBrowser:
        if who not in self.desks:
            desk = self.desks[who] = self.open_browser().open(address)
            desk.send("Sign in", username=who, password=PASSWORD)
        return self.desks[who].open(address)

    def job(self, who: str, more: str = "") -> PlainBrowser:
        return self.desk(who, f"/jobs/{self.number}/{more}")


def a_photo() -> SimpleUploadedFile:
    out = io.BytesIO()
    Image.new("RGB", (64, 48), "#c3c7c5").save(out, "JPEG")
    return SimpleUploadedFile("photo.jpg", out.getvalue(), "image/jpeg")


class Tablet:
    """The tablet of the bay, its script switched off."""

    def __init__(self, shop: Shop) -> None:
        self.shop, self.browser = shop, shop.open_browser()
        code = shop.desk("ash", "/shop/tablets/").send("Make a code", bay="1")
        (shown,) = (e for e in code.page.iter() if "one-time-code" in e.get("class", ""))
        self.browser.open("/tablet/").send("Make it the tablet", code="".join(shown.itertext()).strip())

    def turn(self, who: str) -> None:
        browser = self.browser.open("/tablet/")
        if "End turn" in browser.words:
            browser.send("End turn")
        browser.send("Begin turn", username=who, pin=PIN)
        assert self.shop.people[who].full_name in browser.words

    def at(self, code: str) -> PlainBrowser:
        browser = self.browser.open("/tablet/").follow(code)
        if "I have read this" in browser.words:
            browser.send("I have read this")
        return browser

    def read(self, checkpoint: str, **changed: str) -> PlainBrowser:
        given = {**GOOD.get(checkpoint, {}), **changed}
        form = self.browser.form("Record", p_checkpoint=checkpoint)
        for name, value in given.items():
            form.fill(f"p_{name}", value)
        if "photo" in form.names:
            form.fill("photo", a_photo())
        if checkpoint in READ_BY:
            form.fill("person", READ_BY[checkpoint])
            form.fill("pin", PIN)
        return self.browser.press(form, "Record")

    def finish(self, code: str) -> None:
        signed = {"person": PASSED_BY[code], "pin": PIN} if code in PASSED_BY else {}
        self.browser.send(f"Finish {code}", **signed)
        assert f"{code}" in self.browser.words


def goes_the_whole_way(shop: Shop) -> None:
    the_kit_is_counted(shop)
    the_car_is_booked_in(shop)
    tablet = Tablet(shop)
    tablet.turn("wren")
    done(tablet, "I10")
    tablet.turn("fenn")
    the_gate_is_set_aside_by_name(shop, tablet)
    for code in ("T10", "T20", "C10"):
        done(tablet, code)
    cut_badly_then_decided(shop, tablet)
    for code in ("W10", "W20", "W30", "W40", "W50"):
        done(tablet, code)
    the_later_delivery_lets_assembly_begin(shop, tablet)
    done(tablet, "A10", without=("A10.2",))
    done(tablet, "A20")
    tablet.at("A10")
    tablet.read("A10.2")
    done(tablet, "L10")
    loosened_and_done_anew(tablet)
    released_with_its_papers(shop)
    assert verify_record().is_whole


def the_kit_is_counted(shop: Shop) -> None:
    """Short by one arm."""
    shop.desk("pike", "/parts/kits/new/").send("Bring it in", text=KIT)
    shop.desks["pike"].follow("Release").send("Release it", pin=PIN)
    lead = shop.desk("lind", "/procedures/bring-in/")
    lead.send("Check it", text=PROCEDURE).send("Save and release")
    assert "Somebody else who may release it" in lead.words
    shop.desk("thorn", lead.address).send("Release it", pin=PIN)
    clerk = shop.desk("pike", "/parts/orders/new/")
    clerk.send("Open the order", number="K-9", kit_revision=option(clerk, "Open the order", "kit_revision"))
    clerk.open("/parts/slips/new/").send("Bring it in", text=SLIP)
    count(clerk, "PS-91", {"TC-CRADLE": "1", "TC-ARM": "1", "TC-BOLT": "4"})
    assert "1 part is short" in clerk.words


def option(browser: PlainBrowser, button: str, name: str) -> str:
    """The only choice that a list offers beside none."""
    form = browser.form(button)
    (select,) = (e for e in form.controls if e.get("name") == name)
    (found,) = (e.get("value", "") for e in select.iter("option") if e.get("value"))
    return found


def count(clerk: PlainBrowser, slip: str, pieces: dict[str, str]) -> None:
    clerk.open(f"/parts/orders/K-9/receive/?slip={slip}")
    form = clerk.form("Record the counts")
    for part, number in pieces.items():
        (name,) = (e.get("name", "") for e in form.controls if e.get("aria-label") == f"Good, {part}")
        form.fill(name, number)
    clerk.press(form, "Record the counts")


def the_car_is_booked_in(shop: Shop) -> None:
    writer = shop.desk("wren", "/jobs/").follow("Open a job")
    chosen = {n: option(writer, "Open the job", n) for n in ("procedure_revision", "kit_order", "bay")}
    writer.send("Open the job", **BOOKING, **chosen)
    shop.number = Job.objects.get().number
    assert writer.address == f"/jobs/{shop.number}/"
    assert "Clip by P-9" in writer.words


def done(tablet: Tablet, code: str, *, without: tuple[str, ...] = ()) -> None:
    """One operation from its start to its finish, each checkpoint by its own form."""
    tablet.at(code).send(f"Start {code}")
    for checkpoint in Job.objects.get().operations.get(operation__code=code).operation.checkpoints.all():
        if checkpoint.code in without:
            continue
        if "fire_watch" in checkpoint.proves:
            tablet.shop.clock.shift(dt.timedelta(minutes=61))
            tablet.at(code)
        answer = tablet.read(checkpoint.code)
        assert answer.status == 200, answer.words[:600]
    tablet.finish(code)


def the_gate_is_set_aside_by_name(shop: Shop, tablet: Tablet) -> None:
    assert "1 of TC-ARM Lower arm missing" in tablet.at("T10").words
    with pytest.raises(NotInPageError):
        tablet.browser.form("Start T10")
    shop.job("ash").send("Set it aside in my name", p_reason="The maker has shipped it", pin=PIN)
    assert "The maker has shipped it" in shop.job("wren").words


def cut_badly_then_decided(shop: Shop, tablet: Tablet) -> None:
    tablet.at("C20").send("Start C20")
    tablet.read("C20.1")
    tablet.read("C20.2", value="29 3/4")
    assert "Does not conform" in tablet.browser.words
    shop.job("thorn").send("Decide", p_disposition="rework", p_reason="Dress it back", pin=PIN)
    tablet.at("C20")
    tablet.read("C20.2")
    tablet.finish("C20")


def the_later_delivery_lets_assembly_begin(shop: Shop, tablet: Tablet) -> None:
    assert "1 of TC-ARM Lower arm missing" in tablet.at("A10").words
    clerk = shop.desk("pike", "/parts/slips/new/")
    clerk.send("Bring it in", text=SLIP_HEAD + "K-9,PS-92,Test Freight,2026-03-02,TC-ARM,Lower arm,1,0,\n")
    count(clerk, "PS-92", {"TC-ARM": "1"})


def loosened_and_done_anew(tablet: Tablet) -> None:
    tablet.at("A10").send(
        "Record that it was loosened", {"p_checkpoint": "A10.1"}, p_reason="Rack had to come out"
    )
    assert "Opened again" in tablet.browser.words
    tablet.read("A10.1")
    tablet.finish("A10")


def released_with_its_papers(shop: Shop) -> None:
    lead = shop.job("thorn", "release/").send("Release the car", pin=PIN)
    assert "Released" in lead.words
    shop.job("wren", "papers/").send("Ask for")
    assert shop.desks["wren"].status == 200
