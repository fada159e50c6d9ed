"""What is written in the drawing of a mark can be read: no two words lie over each other."""

from pathlib import Path

import pytest

from jobs.judging.layout_picture import Words, draw_layout
from jobs.judging.layouts import Layout
from jobs.judging.mark_case import MarkCase
from jobs.procedures.file import read_procedure
from shop.models import ShopSettings

PROCEDURE = Path(__file__).resolve().parents[2] / "fixtures" / "procedures" / "FC-210_B.yaml"
MARKS = ("C1", "H1", "H2")


@pytest.fixture(scope="module")
def layout() -> Layout:
    return Layout.of(read_procedure(PROCEDURE.read_bytes(), settings=ShopSettings())[0].layout)


def box(words: Words) -> tuple[float, float, float, float]:
    """About what they cover, from the left to the right and from above to the line they stand on."""
    width = 0.55 * words.size * len(words.text)
    left = words.x - {"start": 0.0, "middle": width / 2, "end": width}[words.anchor]
    return left, left + width, words.y - 0.7 * words.size, words.y


def lie_over(one: Words, other: Words) -> bool:
    left, right, high, low = box(one)
    from_left, to_right, from_high, to_low = box(other)
    return left < to_right and from_left < right and high < to_low and from_high < low


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("code", MARKS)
def test_no_number_lies_over_the_code_of_the_mark(layout: Layout, code: str, mirrored: bool) -> None:
    found = layout.find(code)
    assert found
    case = MarkCase(*found, "left")
    picture = draw_layout(found[0], in_hand=code, checks=case.plan.checks, mirrored=mirrored)
    told = [words for words in picture.words if words.heavy]
    (own,) = [words for words in told if words.text == code]
    assert len(told) > len(found[0].datums)
    assert [words.text for words in told if words is not own and lie_over(words, own)] == []
