"""Every page, as everybody: axe finds nothing, nothing scrolls sideways, no console complains, and the work
goes on without script."""

import os
import re
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import quote

import pytest
import yaml
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from playwright.sync_api import Page, expect

from tests.browser import pages
from tests.browser.bay_tablet import BayTablet, a_photo
from tests.browser.cast import SIZES, Cast, answered
from tests.browser.site import ROOT, Site
from tests.jobs.small_route import KIT, PROCEDURE

pytestmark = [pytest.mark.browser, pytest.mark.process]
NEEDS_WORKER = True

LOOKED_AT: set[tuple[str, ...]] = set()
# What axe finds right is not written out: half of its time.
ONLY_FAULTS = {"resultTypes": ["violations"]}
# All that contrast is told from: letters of which colour and size, on what. To tell it takes axe longer than
# everything else together, so that it is asked where a page shows letters as none did before.
LETTERS = """() => {
  const shown = new Set();
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    if (!walker.currentNode.textContent.trim()) continue;
    const own = getComputedStyle(walker.currentNode.parentElement);
    const under = [];
    for (let at = walker.currentNode.parentElement; at; at = at.parentElement) {
      const { backgroundColor, backgroundImage, opacity } = getComputedStyle(at);
      if (backgroundImage !== "none" || opacity !== "1") under.push(backgroundImage, opacity);
      if (backgroundColor !== "rgba(0, 0, 0, 0)") { under.push(backgroundColor); break; }
    }
    shown.add([own.color, own.fill, own.fontSize, own.fontWeight, ...under].join(" "));
  }
  return [...shown];
}"""
LETTERS_SEEN: set[str] = set()
# A folder to which each page is drawn in each size, to be looked at.
SCREENS = os.environ.get("SCRIBELINE_SCREENS", "")


# A paper that was asked for, a tablet that stands in a bay, an invoice: their pages have something to show.
PAPER_AND_TABLET = """
from decimal import Decimal
from django.utils import timezone
from jobs.models import Job, ProcedureRevision
from jobs.money.estimates import Line
from jobs.money.invoices import issue_closing
from jobs.procedures.drafting import begin_draft
from parts.kit_drafting import begin_kit_draft
from parts.models import KitRevision
from shop.documents import asking
from shop.models import Bay, Person, Tablet
keel, now = Person.objects.get(username="keel"), timezone.now()
asking.ask("traveler", "job/1001", by=keel, now=now, options={"paper": "A4"})
lines = [Line("labour", "All of it", Decimal(10), "h", Decimal(95))]
issue_closing(Job.objects.get(number=1002), lines, by=keel, now=now)
source = ProcedureRevision.objects.get(procedure__code="FC-210", revision="B")
begin_draft(source, revision="C", by=keel, now=now)
kit = KitRevision.objects.get(kit__code="KIT-210", revision="B")
begin_kit_draft(kit, revision="C", by=keel, now=now)
Tablet.objects.create(
    name="By the fence", bay=Bay.objects.get(number=4), token_hash="0" * 64, assigned_by=keel, assigned_at=now
)
"""


@pytest.fixture(scope="module")
def shop(site: Site, tmp_path_factory: pytest.TempPathFactory) -> Site:
    """The demo with drafts beside what is released, a paper and a tablet."""
    folder = tmp_path_factory.mktemp("drafts")
    for name, text in (("kit.csv", KIT), ("procedure.yaml", PROCEDURE)):
        (folder / name).write_text(text, encoding="utf-8")
    site.manage("bring_in", str(folder / "kit.csv"), str(folder / "procedure.yaml"))
    site.manage("shell", "--no-imports", "-c", PAPER_AND_TABLET)
    return site


def faults_of(page: Page, name: str) -> list[str]:
    """What is wrong with the page that stands there, at any of the sizes."""
    letters = set(page.evaluate(LETTERS))
    rules = {"color-contrast": {"enabled": not letters <= LETTERS_SEEN}}
    LETTERS_SEEN.update(letters)
    found = [
        f"{name}: {fault['id']}: {node['target']} {node['html'][:160]}"
        for fault in Axe().run(page, options={**ONLY_FAULTS, "rules": rules}).response["violations"]
        for node in fault["nodes"]
    ]
    # Beginning with the size that it has: to lay a page out anew takes as long as axe.
    for size, view in sorted(SIZES.items(), key=lambda each: each[1] != page.viewport_size):
        if view != page.viewport_size:
            page.set_viewport_size(view)  # type: ignore[arg-type]
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        if wide > 0:
            found.append(f"{name}: {wide} px too wide at {size}")
        if SCREENS:
            page.screenshot(path=Path(SCREENS) / f"{name}-{size}.png", full_page=size == "desk")
    return found


class Structure(HTMLParser):
    """What a page is made of: its elements and what they do, whatever stands in them."""

    def __init__(self) -> None:
        super().__init__()
        self.elements: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "main":
            self.elements.clear()  # what frames it is the same everywhere
        kinds = dict(attrs)
        self.elements.append(" ".join([tag, *(kinds.get(key) or "" for key in ("class", "type", "role"))]))


def is_new(html: str) -> bool:
    """Whether nobody has looked at a page made of the same elements yet: most show everybody the same."""
    read = Structure()
    read.feed(html)
    shown = tuple(read.elements)
    if shown in LOOKED_AT:
        return False
    LOOKED_AT.add(shown)
    return True


def name_of(who: str, address: str) -> str:
    return re.sub(r"[^A-Za-z0-9]+", "-", f"{who}/{address}").strip("-")


def test_a_fault_is_found(tab: Page) -> None:
    tab.set_content('<html lang="en"><title>A</title><main><h1>A</h1><img><p>A</p></main></html>')
    assert [each for each in faults_of(tab, "a page") if "image-alt" in each]
    tab.set_content('<html lang="en"><title>A</title><main><h1>A</h1><table width="1300"><td>A</main></html>')
    wide = [each for each in faults_of(tab, "a page") if "too wide" in each]
    assert len(wide) == 3
    tab.set_content(
        '<html lang="en"><title>A</title><main><h1>A</h1><p style="color: #ccc">Pale</p></main></html>'
    )
    assert [each for each in faults_of(tab, "a page") if "color-contrast" in each]


def test_no_page_is_forgotten(shop: Site) -> None:
    assert pages.desk_names(shop) | pages.AT_A_TABLET | set(pages.NO_PAGE) | {"shop:sign_in"} == pages.names()


def test_every_page_is_sound_for_the_manager(cast: Cast, shop: Site) -> None:
    """The manager sees all of them; one made of the same elements as another is looked at once."""
    page = cast.desk("keel")
    found: list[str] = []
    for address in pages.desk_pages(shop):
        answer = page.goto(address)
        assert answer
        if answer.status != 200:
            found.append(f"{address} answers {answer.status}")
        if is_new(answer.text()) or SCREENS:
            found += faults_of(page, name_of("keel", address))
    assert "\n".join(found) == ""


def test_every_page_is_sound_for_a_lead(cast: Cast, shop: Site) -> None:
    """Who signs what nobody else may; the others see less. Where somebody may not go, that is said."""
    page = cast.desk("plumb")
    found: list[str] = []
    for address in pages.desk_pages(shop):
        answer = page.request.get(address)
        assert answer.status in {200, 403}, address
        if is_new(answer.text()):
            page.goto(address)
            found += faults_of(page, name_of("plumb", address))
    assert "\n".join(found) == ""


def test_signing_in_and_getting_lost_are_sound(cast: Cast) -> None:
    page = cast.browser()
    found: list[str] = []
    for address, status in (("/sign-in/", 200), ("/nowhere/", 404), ("/tablet/", 403)):
        answer = page.goto(address)
        assert answer
        assert answer.status == status
        found += faults_of(page, name_of("nobody", address))
    page.goto("/sign-in/")
    page.get_by_label("name").fill("nobody")
    page.get_by_label("Password").fill("wrong")
    page.get_by_role("button", name="Sign in").click()
    expect(page.locator("main")).to_contain_text("do not belong together")
    assert found + faults_of(page, "nobody-refused") == []


def test_the_tablet_is_sound_at_every_checkpoint(cast: Cast) -> None:
    """A stopped operation with all its panels, one that waits, one that may not start, the way to stop."""
    found: list[str] = []
    tablet = BayTablet(cast, cast.tablet(2))
    found += faults_of(tablet.page, "tablet-no-turn")
    tablet.begin_turn("tackwell")
    found += faults_of(tablet.page, "tablet-bay")
    for code in ("W30", "W50", "A20", "C20"):
        tablet.page.goto(reverse("jobs:tablet_operation", args=[1002, code]))
        read = tablet.page.get_by_role("button", name="I have read this")
        if read.count():
            found += faults_of(tablet.page, f"tablet-cautions-{code}")
            read.click()
        sections = tablet.page.locator("[data-checkpoint]")
        sections.first.wait_for(state="attached")
        tablet.settled()
        ids = [sections.nth(at).get_attribute("id") or "" for at in range(sections.count())]
        for section in ids:
            tablet.page.goto(f"{reverse('jobs:tablet_operation', args=[1002, code])}#{quote(section)}")
            expect(tablet.section(section)).to_be_visible()
            found += faults_of(tablet.page, name_of("tablet", section))
    tablet.page.goto(reverse("jobs:tablet_stop"))
    found += faults_of(tablet.page, "tablet-stop")
    for aside in ("problem", "pause", "extra_work"):
        tablet.page.goto(reverse(f"jobs:tablet_{aside}", args=[1002, "W30"]))
        found += faults_of(tablet.page, f"tablet-{aside}")
    assert "\n".join(found) == ""


def test_a_refused_entry_is_sound_and_keeps_what_was_typed(cast: Cast) -> None:
    tablet = BayTablet(cast, cast.tablet(2))
    tablet.begin_turn("tackwell")
    tablet.open("W30")
    answer = tablet.read("W30.4", {"value": "half a degree or so", "instrument": "LV-1"})
    assert answer.status == 422
    assert faults_of(tablet.page, "tablet-wrong") == []
    expect(tablet.section("W30.4").locator('input[name="p_value"]')).to_have_value("half a degree or so")


def test_the_work_goes_on_without_script(cast: Cast) -> None:
    """A turn, a start, every kind of reading of an intake, and the finish."""
    page = cast.tablet(4, script=False)
    page.get_by_label(cast.name("scribner"), exact=True).check()
    page.get_by_label("PIN").fill(cast.pin("scribner"))
    page.get_by_role("button", name="Begin turn").click()
    page.get_by_role("link", name=re.compile("^I20 ")).first.click()
    page.get_by_role("button", name="Start I20").click()
    readings = yaml.load((ROOT / "fixtures" / "readings.yaml").read_text(), Loader=yaml.BaseLoader)[
        "readings"
    ]
    for code in (found for found in readings if found.startswith("I20.")):
        read_without_script(page, code, readings[code]["good"])
    page.get_by_role("button", name="Finish I20").click()
    expect(page.locator("#finish")).to_contain_text("finished")


def read_without_script(page: Page, code: str, good: dict[str, str]) -> None:
    section = page.locator(f'[data-checkpoint][id="{code}"]')
    for name, text in good.items():
        box = section.locator(f'input[name="p_{name}"]')
        if name == "caption":
            section.locator("input[type=file]").set_input_files(a_photo())  # type: ignore[arg-type]
        elif name in {"instrument", "go"}:
            section.locator(f'input[name="p_{name}"][value="{text}"]').check()
        else:
            box.fill(text)
    assert answered(page, section.get_by_role("button", name="Record", exact=True)).status == 302
    expect(section.locator(".verdict-word")).to_have_text(re.compile("Conforms|Recorded"))
