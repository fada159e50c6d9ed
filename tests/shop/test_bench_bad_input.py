"""Whatever is typed on the bench, a sheet answers or says what to do: never anything but our own error."""

import contextlib
import random

import pytest

from shop.bench.index import parts
from shop.bench.sheets import Sheet
from shop.engineering.errors import QuantityError

SHEETS = [sheet for part in parts() for sheet in part.sheets]
# What slips, guesses and pastes leave in a field.
TYPED = (
    *(
        "",
        "0",
        "-1",
        "1e400",
        "nan",
        "1/0",
        "abc",
        "999999999",
        "0.0000001",
        "29½",
        "29,5",
        "½",
        "5'-3 1/2\"",
    ),
    *("29 1/2 ±1/16 in", "65 +5 −0 lbf·ft", "16…14 in", "12 N·m", "720°", "-0° 45′", "M12", "1/2-13", "M0x1"),
    *("#10-32", "2-4.5", "8.8", "5", "0 0", "0; 0", "250 500", "100…850", "−", "thirty-second", "3 1/2; x"),
    *("29 1/2 in; 29 7/16 in", "99 in", "1 thou", "10000 N·m", "100 %", "0 in", "٣", "x" * 300),
)


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.key)
def test_no_input_raises_anything_but_our_own_error(sheet: Sheet) -> None:
    """One field after the other with each of these, then all of them at random, the same every time."""
    chance = random.Random(sheet.key)
    tries = [{**sheet.usual, asked.name: text} for asked in sheet.asked for text in TYPED]
    tries += [{asked.name: chance.choice(TYPED) for asked in sheet.asked} for _n in range(60)]
    for typed in tries:
        with contextlib.suppress(QuantityError):
            answer = sheet.answer(typed)
            assert answer.source, typed
            assert answer.formula, typed
