"""The lead's day: a witness's reading, welds judged, a decision at the tablet, a deviation, the release."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.bay_tablet import BayTablet
from tests.browser.cast import Cast, answered, follow

pytestmark = [pytest.mark.browser, pytest.mark.process]

# What the others do meanwhile: the welder goes on to the inspection, the rack to the end of the route.
MEANWHILE = """
from django.utils import timezone
from jobs.demo.clock import LateClock
from jobs.demo.loading import Scenario
from jobs.demo.player import Player
from jobs.models import Job
from shop.entries import last_entry_ids
from shop.keeping import keep
from shop.models import Person, ShopSettings, SignedHow

people, shop = {p.username: p for p in Person.objects.all()}, ShopSettings.current()
shop.fire_watch_minutes = 0
keep(shop, changed=["fire_watch_minutes"], added=False, by=people["keel"], now=timezone.now())
scenario = Scenario(timezone.now())

def player_of(number):
    job = Job.objects.select_related("procedure_revision__procedure").get(number=number)
    entry = next(e for e in scenario.data["jobs"] if e["number"] == str(number))
    clock = LateClock(timezone.now(), scenario.settings)
    made = Player(job, people, scenario.readings[entry["procedure"]], clock, entry.get("people", {}))
    made.made, made.seen = 100_000, last_entry_ids(job.stream)
    return made

def finish(player, code):
    operation = player.record.find(code)
    for checkpoint in operation.checkpoints:
        player.weld_before(checkpoint)
    player.read_all(c for c in operation.checkpoints if not c.is_closed)
    player.send("finish", code, player._who(player._parts(code)["finishes"]), SignedHow.PIN)
"""
TO_THE_INSPECTION = """
player = player_of(1002)
rework = {"nonconformance": "1", "disposition": "rework", "reason": "Cool it and look again"}
player.send("disposition", "W30", people["gauge"], SignedHow.PIN, rework)
finish(player, "W30")
player.play("W40")
player.start(player.record.find("W50"))
"""
TO_THE_END = """
player = player_of(1005)
finish(player, "L20")
player.play("R10")
"""


def test_the_day_of_the_lead(cast: Cast) -> None:
    cast.site.manage("shell", "--no-imports", "-c", MEANWHILE + TO_THE_INSPECTION)
    reads_as_a_witness(cast)
    judges_the_welds(cast)
    issues_a_deviation(cast)
    decides_at_the_tablet(cast)
    releases(cast)
    assert "whole" in cast.site.manage("verify_record")


def from_the_queue(cast: Cast, words: str) -> Page:
    """From the list of what waits to where it is done."""
    page = cast.desk("plumb")
    page.goto("/witness/")
    follow(page, page.get_by_role("link", name=words).first)
    return page


def reads_as_a_witness(cast: Cast) -> None:
    """The first reading is hidden until the second is in, then both stand there."""
    cast.desk("plumb").goto("/jobs/1003/C10/")
    hidden = "The reading is shown once the witness has read it"
    expect(cast.desk("plumb").locator("main")).to_contain_text(hidden)
    page = from_the_queue(cast, "C20.1 Cut line from datum A, read again waits for a second person")
    section = page.locator('article[id="C20.1"]')
    form = section.locator("form.form-witness")
    expect(section).to_contain_text("Nothing is recorded yet.")
    for side in ("Left", "Right"):
        form.get_by_label(side).fill("31 1/4")
    form.get_by_label("Read with").select_option("TP-2")
    form.get_by_label("Your PIN").fill(cast.pin("plumb"))
    assert answered(page, form.get_by_role("button", name="Record my own reading")).status == 204
    expect(section.locator(".verdict-word").first).to_have_text("Conforms")
    expect(section.locator(".results")).to_contain_text(cast.name("plumb"))


def judges_the_welds(cast: Cast) -> None:
    page = from_the_queue(cast, "W50.1 Seams of the left rail adapter waits to be judged")
    section = page.locator('article[id="W50.1"]')
    for answer in ("Met", "Accepted"):
        for good in section.get_by_label(answer, exact=True).all():
            good.check()
    assert answered(page, section.get_by_role("button", name="Record the judgement")).status == 204
    expect(section.locator(".verdict-word").first).to_have_text("Conforms")


def issues_a_deviation(cast: Cast) -> None:
    page = cast.desk("plumb")
    page.goto("/jobs/1002/A10/")
    section = page.locator("article.checkpoint").filter(has=page.locator("form.form-deviation")).first
    section.get_by_text("Issue a deviation for this car").click()
    form = section.locator("form.form-deviation")
    form.get_by_label("What is done differently").fill("Shimmed on the left")
    form.get_by_label("Reason").fill("An old repair of the rail")
    second = form.get_by_label("Second qualified person")
    if second.count():
        second.select_option("gauge")
        form.get_by_label("PIN of the second person").fill(cast.pin("gauge"))
    form.get_by_label("Your PIN").fill(cast.pin("plumb"))
    assert answered(page, form.get_by_role("button", name="Issue the deviation")).status == 204
    page.goto("/jobs/1002/release/")
    expect(page.locator("main")).to_contain_text("Deviation D1")
    expect(page.locator("main")).to_contain_text("An old repair of the rail")


def decides_at_the_tablet(cast: Cast) -> None:
    """Camber out of limits: the lead walks up, decides by name and PIN; it is read again."""
    tablet = BayTablet(cast, cast.tablet(5))
    tablet.begin_turn("scribner")
    page = tablet.page
    follow(page, page.locator(".notice").get_by_role("link").first)
    read = page.get_by_role("button", name="I have read this")
    section = tablet.section("nonconformance-1")
    section.or_(read).first.wait_for(state="attached")
    if read.count():
        read.click()
        section.wait_for(state="attached")
    tablet.settled()
    tablet.go_to("nonconformance-1")
    section.get_by_label("Rework").check()
    section.get_by_label("Reason").fill("Set the eccentric again")
    tablet.sign(section, "plumb")
    assert tablet.press("Decide").status < 400
    expect(tablet.section("nonconformance-1")).to_contain_text("It closes when L20.2 is read again")


def releases(cast: Cast) -> None:
    page = cast.desk("plumb")
    page.goto("/jobs/1005/release/")
    expect(page.locator("main")).to_contain_text("Operation L30 Road test and recheck is not finished")
    cast.site.manage("shell", "--no-imports", "-c", MEANWHILE + TO_THE_END)
    page.goto("/witness/")
    follow(page, page.locator("#to-release").get_by_role("link").first)
    expect(page.locator("#by-name ~ .waits, #releasing .waits").first).to_contain_text(
        "Set the eccentric again"
    )
    section = page.locator("#release")
    section.get_by_label("Your PIN").fill("0000")
    assert answered(page, section.get_by_role("button", name="Release the car")).status == 422
    expect(section.locator(".field-error")).to_contain_text("This is not the PIN")
    section.get_by_label("Your PIN").fill(cast.pin("plumb"))
    assert answered(page, section.get_by_role("button", name="Release the car")).status == 204
    expect(page.locator("#releasing")).to_contain_text("The record is closed.")
