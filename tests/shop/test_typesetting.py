"""Quantities set as a drawing sets them."""

import pytest

from shop.templatetags.figures import stacked
from shop.typesetting import Piece, figure, pieces


@pytest.mark.parametrize(
    ("written", "value", "tolerances", "unit"),
    [
        ("29 1/2 ±1/16 in", "29 1/2", ("±1/16",), "in"),
        ("65 +5 −0 lbf·ft", "65", ("+5", "−0"), "lbf·ft"),
        ("65 +5 -0 lbf·ft", "65", ("+5", "-0"), "lbf·ft"),
        ("≤ 1/8 in", "≤ 1/8", (), "in"),
        ("≥ 60 min", "≥ 60", (), "min"),
        ("14…16 in", "14…16", (), "in"),
        ("180 ±10°", "180", ("±10",), "°"),
        ("88.1 N·m", "88.1", (), "N·m"),
        ("-0.5 ±0.25°", "-0.5", ("±0.25",), "°"),
        ("65 ±10 % lbf·ft", "65", ("±10 %",), "lbf·ft"),
        ("5 %", "5", (), "%"),
        ("12", "12", (), ""),
        ("Sleeve passes by hand", "Sleeve passes by hand", (), ""),
    ],
)
def test_figure_takes_a_limit_apart(written: str, value: str, tolerances: tuple[str, ...], unit: str) -> None:
    taken = figure(written)
    assert (taken.value, taken.tolerances, taken.unit) == (value, tolerances, unit)


def test_pieces_find_fractions_of_an_inch() -> None:
    assert pieces("about 29 17/32 in") == (Piece("about "), Piece("29", "17", "32"), Piece(" in"))
    assert pieces("1-5/8") == (Piece("1", "5", "8"),)
    assert pieces("±1/16") == (Piece("±"), Piece("", "1", "16"))


@pytest.mark.parametrize("text", ["24/7", "11/25/2026", "1/2/3", "KS-118", "3/10"])
def test_pieces_leave_other_strokes_alone(text: str) -> None:
    assert pieces(text) == (Piece(text),)


def test_stacked_fraction_still_reads_as_written() -> None:
    html = stacked("29 17/32 in")
    text = html.replace("</span>", "")
    for opening in ("number", "frac", "frac-over", "frac-stroke", "frac-under"):
        text = text.replace(f'<span class="{opening}">', "")
    assert text == "29 17/32 in"


def test_stacked_escapes_what_was_typed() -> None:
    assert stacked("<b>1/2</b>").startswith("&lt;b&gt;")
