"""A burned inch is named at the tablet before anything is cut, and the cut waits until it is marked again."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser import at_desk
from tests.browser.bay_tablet import BayTablet
from tests.browser.cast import Cast, sign_in

pytestmark = [pytest.mark.browser, pytest.mark.process]

CAR, BAY = 1003, 3  # of the demo: its marks are made and half of them read by a second person
STANDS = {"r1": "31 1/4", "r2": "31 1/4", "r3": "78", "r4": "13 9/32", "instrument": "TP-1"}
BURNED = {"r1": "30 1/4", "r2": "30 1/4", "r3": "77", "r4": "12 9/32", "instrument": "TP-1"}


def test_a_burned_inch_is_named_before_the_cut(cast: Cast) -> None:
    tablet = BayTablet(cast, cast.tablet(BAY))
    tablet.begin_turn("scribner")
    tablet.open("C20")
    for code in ("C20.1", "C20.4"):  # with a witness, a PIN and a drawing beside the keys
        tablet.see_all(tablet.go_to(code))
    tablet.open("C10")
    section = tablet.go_to("C10.4")
    section.get_by_text("Read it again").click()
    section.locator('textarea[name="p_reason"], input[name="p_reason"]').first.fill("Scribed anew")
    assert tablet.read("C10.4", BURNED).status < 400
    expect(tablet.verdict("C10.4")).to_have_text("Does not conform")
    expect(section).to_contain_text("1 in too far back")
    expect(section).to_contain_text("burned an inch? Mark it again.")
    expect(section.locator(".layout-wrong")).to_have_count(1)
    tablet.open("C30")
    expect(tablet.section("C30")).to_contain_text("C10.4")
    expect(tablet.section("C30").get_by_role("button", name="Start C30")).to_have_count(0)
    assert at_desk.decide(cast, "gauge", CAR, what="Rework", why="Mark it again").status == 204
    tablet.open("C10")
    assert tablet.read("C10.4", STANDS).status < 400
    expect(section).to_contain_text("hidden until the second person")


@pytest.mark.parametrize(("script", "name"), [(True, "C"), (False, "D")])
def test_a_mark_added_at_the_desk_is_drawn_beside_its_fields(cast: Cast, script: bool, name: str) -> None:
    page = sign_in(cast.browser(script=script), cast.people["plumb"])
    page.goto("/procedures/FC-210/B/edit/")
    page.get_by_label("Name of the revision").fill(name)
    page.get_by_role("button", name="Begin").click()
    page.get_by_role("link", name="Left rail, outer face").click()
    page.get_by_role("button", name="Add a hole").click()
    beside, drawn = page.locator("#draft-beside"), page.locator("#draft-beside .layout-words", has_text="H3")
    expect(drawn).to_have_count(0)
    page.get_by_label("What it is").fill("drain")
    for datum in ("A datum A", "F lower flange"):
        page.get_by_label(datum).check()
    for label, figure in (
        ("May be off", "±1/16 in"),
        ("Size", "1/2 in"),
        ("Tool", "drill"),
        ("Centre at", "4 in"),
    ):
        page.get_by_label(label, exact=True).fill(figure)
    see(page, script)
    expect(page.locator("#part-f_at-faults")).to_contain_text("is no place")
    page.get_by_label("Centre at", exact=True).fill("4 in, 1 in")
    see(page, script)
    expect(drawn).to_have_count(1)
    expect(beside.locator(".draft-asked")).to_contain_text("From A")
    expect(page.locator("#part-f_at-faults")).to_have_text("")
    page.get_by_role("button", name="Keep", exact=True).click()
    expect(page.locator("#messages")).to_contain_text("H3 changed")
    expect(drawn).to_have_count(1)
    page.get_by_role("button", name="Take the last change back").click()
    expect(page.get_by_label("Centre at", exact=True)).to_have_value("")


def see(page: Page, script: bool) -> None:
    """Leave the field, upon which it is drawn; press the button where nothing happens by itself."""
    if script:
        page.get_by_label("Centre at", exact=True).press("Tab")
    else:
        page.get_by_role("button", name="Show the drawing").click()
