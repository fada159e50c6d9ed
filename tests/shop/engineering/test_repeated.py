"""Readings taken again: what more of them can tell, and what they never can."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.decision import ISO_14253_95, DecisionError, InstrumentData, Verdict, decide
from shop.engineering.decision.repeated import Reading, decide_repeated, decide_repeated_pair, put_together
from shop.engineering.decision.uncertainty import reading_variance
from shop.engineering.limits import parse_limits
from shop.engineering.quantities.measures import Dimension, Quantity

LIMITS = parse_limits("29 1/2 ±1/16 in")


def instrument(code: str, resolution: str, error: str) -> InstrumentData:
    return InstrumentData(
        code,
        "tape",
        Dimension.LENGTH,
        resolution=Quantity(Fraction(resolution), "in"),
        permissible_error=Quantity(Fraction(error), "in"),
    )


TAPE = instrument("TP-1", "1/32", "1/32")
RULE = instrument("SR-1", "1/64", "1/128")


def inches(text: str, of: InstrumentData = TAPE) -> Reading:
    return Reading(Quantity(Fraction(text), "in"), of)


def test_one_reading_is_judged_as_it_always_was() -> None:
    reading = inches("29.53125")
    assert decide_repeated(LIMITS, [reading], ISO_14253_95).verdict is (
        decide(LIMITS, TAPE, reading.value, ISO_14253_95).verdict
    )
    assert put_together([reading]).variance == reading_variance(TAPE, Fraction(reading.value.quanta))


@given(st.integers(1, 12))
def test_more_readings_never_widen_and_one_tape_never_gets_past_its_own_error(count: int) -> None:
    found = [put_together([inches("29.5")] * n).variance for n in range(1, count + 2)]
    assert found == sorted(found, reverse=True)
    eye = Fraction(TAPE.resolution.quanta) ** 2 / 12
    assert found[-1] > reading_variance(TAPE, Fraction(inches("29.5").value.quanta)) - eye


@given(st.permutations(["29.46875", "29.5", "29.5"]))
def test_their_order_does_not_matter(values: list[str]) -> None:
    readings = [inches(values[0]), inches(values[1]), inches(values[2], RULE)]
    mirrored = list(reversed(readings))
    assert put_together(readings).variance == put_together(mirrored).variance
    assert put_together(readings).mean == put_together(mirrored).mean


def test_a_finer_instrument_weighs_more_and_can_settle_it() -> None:
    close = inches("29.53125")
    assert decide_repeated(LIMITS, [close], ISO_14253_95).verdict is Verdict.TOO_CLOSE
    settled = decide_repeated(LIMITS, [close, inches("29.515625", RULE)], ISO_14253_95)
    assert settled.verdict is Verdict.CONFORMS
    assert "2 readings" in settled.explanation


def test_readings_that_cannot_both_be_right_prove_nothing() -> None:
    decision = decide_repeated(LIMITS, [inches("29.5"), inches("28.5")], ISO_14253_95)
    assert decision.verdict is Verdict.TOO_CLOSE
    assert "look for a slip" in decision.explanation


def test_no_reading_is_refused() -> None:
    with pytest.raises(DecisionError):
        put_together([])


def pair(*sides: tuple[str, str]) -> Verdict:
    lefts, rights = ([inches(value) for value in side] for side in zip(*sides, strict=True))
    return decide_repeated_pair(LIMITS, parse_limits("≤ 1/8 in"), lefts, rights, ISO_14253_95).verdict


def test_a_pair_read_again_is_as_good_as_its_worst_part() -> None:
    assert pair(("29.5", "29.5"), ("29.5", "29.5")) is Verdict.CONFORMS
    assert pair(("29.5", "29.53125"), ("29.5", "29.53125")) is Verdict.TOO_CLOSE
    assert pair(("29.5", "29.75"), ("29.5", "29.75")) is Verdict.DOES_NOT_CONFORM
    assert pair(("29.5", "29.5"), ("29.5", "29.0")) is not Verdict.CONFORMS


@given(st.integers(-12, 12), st.integers(1, 5))
def test_reading_the_same_again_never_turns_does_not_conform_into_conforms(off: int, times: int) -> None:
    reading = inches(str(29.5 + off / 64))
    alone = decide(LIMITS, TAPE, reading.value, ISO_14253_95).verdict
    together = decide_repeated(LIMITS, [reading] * times, ISO_14253_95).verdict
    assert {alone, together} != {Verdict.CONFORMS, Verdict.DOES_NOT_CONFORM}
