"""What people do at the tablet of a bay: turns, operations, readings by keypad, a second person's PIN."""

import re
from collections.abc import Mapping
from io import BytesIO

from PIL import Image
from playwright.sync_api import Locator, Page, Response, expect

from tests.browser.cast import SIZES, Cast, answered

INCH = re.compile(r"(?P<whole>\d+)?\s*(?:(?P<over>\d+)/(?P<under>2|4|8|16|32))?")
CONFIRMED = ("clicked", "lubricant", "new_hardware", "passes")
# Fields of a reading that name no figure to be keyed.
NO_FIGURE = {"instrument", "angle_instrument", "go", "caption", *CONFIRMED}
# Of figure, values and keys: how many there are, and which lie beneath a strip, another thing or an edge.
OUT_OF_SIGHT = """section => {
  scrollTo(0, 0);
  const edge = (selector) => document.querySelector(selector).getBoundingClientRect();
  const top = edge(".bay-strip").bottom, bottom = edge(".bay-ways").top;
  const all = [...section.querySelectorAll(".figure-value, .reading-value, .key[data-key]")];
  const shown = all.filter((each) => each.checkVisibility());
  const hidden = shown.filter((each) => {
    const box = each.getBoundingClientRect();
    const at = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
    const within = box.top >= top && box.bottom <= bottom && box.left >= 0 && box.right <= innerWidth;
    return !within || !each.parentElement.contains(at);
  });
  return [shown.length, hidden.map((each) => each.outerHTML.slice(0, 80))];
}"""


class BayTablet:
    """The tablet of a bay, in the hands of whoever has their turn."""

    def __init__(self, cast: Cast, page: Page) -> None:
        self.cast = cast
        self.page = page

    def begin_turn(self, username: str) -> None:
        self.page.goto("/tablet/")
        end = self.page.get_by_role("button", name="End turn")
        if end.count():
            end.click()
        self.page.get_by_label(self.cast.name(username), exact=True).check()
        self.page.get_by_label("PIN").fill(self.cast.pin(username))
        self.page.get_by_role("button", name="Begin turn").click()
        expect(self.page.locator(".bay-turn")).to_contain_text(self.cast.name(username))

    def open(self, code: str) -> None:
        """From the page of the bay to an operation of the car in it."""
        self.page.goto("/tablet/")
        links = self.page.get_by_role("link", name=re.compile(f"^{code} "))
        if not links.count():
            self.page.get_by_text("All operations of this car").click()
        links.first.click()
        read = self.page.get_by_role("button", name="I have read this")
        self.section(code).or_(read).first.wait_for(state="attached")
        if read.count():
            read.click()
            self.section(code).wait_for(state="attached")
        self.settled()

    def settled(self) -> None:
        """Once the page is whole and its scripts have laid it out, one thing at a time is in sight."""
        self.page.wait_for_load_state()
        expect(self.page.locator("[data-checkpoint]:visible")).to_have_count(1)

    def section(self, code: str) -> Locator:
        return self.page.locator(f'[data-checkpoint][id="{code}"]')

    def go_to(self, code: str) -> Locator:
        """On by the strip until what is wanted stands there, then back if it lies behind."""
        wanted = self.section(code)
        for way in ("next", "back"):
            link = self.page.locator(f'[data-step="{way}"]')
            while not wanted.is_visible() and (link.get_attribute("href") or "").startswith("#"):
                at = link.get_attribute("href") or ""
                link.click()
                self.section(at[1:]).wait_for()
        expect(wanted).to_be_visible()
        return wanted

    def start(self, code: str) -> None:
        self.open(code)
        assert self.press(f"Start {code}").status < 400
        expect(self.section(code)).to_contain_text("in work")

    def finish(self, code: str, *, lead: str = "") -> None:
        section = self.go_to("finish")
        if lead:
            self.sign(section, lead)
        assert self.press(f"Finish {code}").status < 400
        expect(self.section("finish")).to_contain_text("finished")

    def read(
        self, checkpoint: str, given: Mapping[str, str], *, by: str = "", keys: bool = False
    ) -> Response:
        """Fill one checkpoint in and record it; what comes of it is the caller's to look at."""
        section = self.go_to(checkpoint)
        self.fill(section, given, keys=keys)
        if by:
            self.sign(section, by)
        return self.press("Record")

    def fill(self, section: Locator, given: Mapping[str, str], *, keys: bool = False) -> None:
        """By touching what is offered; figures by the keypad where `keys` says so."""
        if section.locator("input[name=photo]").count():
            section.locator("input[name=photo]").set_input_files(a_photo())
            return
        for name, text in given.items():
            box = section.locator(f'input[name="p_{name}"]')
            if name in CONFIRMED:
                box.set_checked(text == "yes")
            elif name in {"instrument", "angle_instrument", "go"} or name.startswith("criterion"):
                section.locator(f'input[name="p_{name}"][value="{text}"]').check()
            elif keys and INCH.fullmatch(text):
                self.key_in(section, name, text)
            else:
                box.fill(text)

    def key_in(self, section: Locator, name: str, text: str) -> None:
        """A figure in inches, as the keypad takes it: whole, eighths, then lines more."""
        box = section.locator(f'input[name="p_{name}"]')
        box.click()
        found = INCH.fullmatch(text)
        assert found
        lines = int(found["over"] or 0) * 32 // int(found["under"] or 1)
        touches = [*(found["whole"] or "")]
        touches += [f"{lines // 4}/8"] if lines // 4 else []
        touches += ["line-more"] * (lines % 4)
        for key in touches:
            section.locator(f'[data-keypad] [data-key="{key}"]:visible').click()
        expect(box).to_have_value(text)

    def sign(self, section: Locator, username: str) -> None:
        """Somebody else signs this one entry."""
        section.locator(f'input[name="person"][value="{username}"]').check()
        section.get_by_label("PIN").fill(self.cast.pin(username))

    def see_all(self, section: Locator) -> None:
        """Figure, what is keyed and every key are in sight at once, whichever way the tablet is held."""
        held = self.page.viewport_size
        for name, size in SIZES.items():
            self.page.set_viewport_size(size)
            seen, hidden = section.evaluate(OUT_OF_SIGHT)
            assert seen > 12, name
            assert not hidden, (name, hidden)
        if held:
            self.page.set_viewport_size(held)

    def press(self, word: str) -> Response:
        """Press the button in the strip and wait until the page that answers stands there."""
        before = self.page.locator("#task").element_handle()
        assert before
        button = self.page.locator(".way-do").get_by_role("button", name=word, exact=True)
        answer = answered(self.page, button)
        before.wait_for_element_state("hidden")
        self.settled()
        return answer

    def verdict(self, checkpoint: str) -> Locator:
        return self.section(checkpoint).locator(".verdict-word")


def a_photo() -> dict[str, object]:
    """A picture file as a camera hands it over."""
    out = BytesIO()
    Image.new("RGB", (64, 48), "#c3c7c5").save(out, "JPEG")
    return {"name": "photo.jpg", "mimeType": "image/jpeg", "buffer": out.getvalue()}
