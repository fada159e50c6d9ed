"""What is read at two metres stands out from its ground by 7:1 on both sheets (WCAG 2.2, 1.4.6)."""

import re
from pathlib import Path

import pytest

TOKENS = Path(__file__).parent.parent / "static" / "css" / "tokens.css"

LETTERS = [
    ("ink", "sheet"),
    ("ink", "sheet-sunk"),
    ("ink-soft", "sheet"),
    ("ink-soft", "sheet-sunk"),
    ("blue", "sheet"),
    ("on-blue", "blue"),
    ("scribed", "blue-dyed"),
    ("good", "sheet"),
    ("bad", "sheet"),
    ("close", "sheet"),
    ("on-verdict", "good"),
    ("on-verdict", "bad"),
    ("on-signal-dark", "signal-danger"),
    ("on-signal-light", "signal-warning"),
    ("on-signal-light", "signal-caution"),
]


def colours(selector: str) -> dict[str, str]:
    text = TOKENS.read_text()
    rule = re.search(rf"^{re.escape(selector)} \{{(.*?)^\}}", text, re.DOTALL | re.MULTILINE)
    assert rule is not None
    return dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6});", rule[1]))


LIGHT = colours(":root")
DARK = LIGHT | colours(':root[data-sheet="dark"]')


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_contrast_of_black_on_white_is_as_wcag_states() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


@pytest.mark.parametrize("sheet", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize(("letters", "ground"), LETTERS)
def test_letters_stand_out(sheet: dict[str, str], letters: str, ground: str) -> None:
    assert contrast(sheet[letters], sheet[ground]) >= 7


@pytest.mark.parametrize("sheet", [LIGHT, DARK], ids=["light", "dark"])
def test_edges_of_what_can_be_used_stand_out(sheet: dict[str, str]) -> None:
    assert contrast(sheet["line"], sheet["sheet"]) >= 4.5


@pytest.mark.parametrize("sheet", [LIGHT, DARK], ids=["light", "dark"])
def test_notice_panel_can_be_read(sheet: dict[str, str]) -> None:
    letters = "on-signal-light" if sheet is DARK else "on-signal-dark"
    assert contrast(sheet[letters], sheet["signal-notice"]) >= 7
