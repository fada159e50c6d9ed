"""Pictures among letters are put into words before they are printed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.documents.pictographs import FOUND, pictures_in_words


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("Good 👍", "Good [thumbs up sign]"),
        ("👍🏽 as agreed", "[thumbs up sign] as agreed"),
        ("⚠️ hot", "[warning sign] hot"),
        ("👩‍🔧", "[woman][wrench]"),
        ("🇺🇸", "[US]"),
        ("2️⃣ bolts", "2 bolts"),
        ("✓ 29 17/32 in ±1/16 ⌀ ≤ é Ж", "✓ 29 17/32 in ±1/16 ⌀ ≤ é Ж"),
    ],
)
def test_a_picture_is_named(typed: str, printed: str) -> None:
    assert pictures_in_words(typed) == printed


@given(st.text())
def test_nothing_is_left_that_would_be_a_box_and_markup_stays(text: str) -> None:
    printed = pictures_in_words(text)
    assert not FOUND.search(printed)
    assert [printed.count(c) for c in "<>&\"'"] == [text.count(c) for c in "<>&\"'"]
