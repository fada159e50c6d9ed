"""Judging single readings."""

import json
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.decision import (
    ISO_14253_95,
    RULES,
    SIMPLE_ACCEPTANCE,
    Decision,
    DecisionError,
    InstrumentData,
    Verdict,
    decide,
    parse_permissible,
    thresholds,
)
from shop.engineering.limits import parse_limits
from shop.engineering.quantities import Quantity, QuantityError, parse_quantity
from tests.shop.engineering.instruments import ALL, CALIPER, CLICK_WRENCH, GO_BY, TAPE

BASE = parse_limits("29 1/2 ±1/16 in")


@pytest.mark.parametrize(
    ("limit", "code", "reading", "verdict"),
    [
        ("29 1/2 ±1/16 in", "TP-01", "29 1/2 in", Verdict.CONFORMS),
        ("29 1/2 ±1/16 in", "TP-01", "749.5 mm", Verdict.CONFORMS),
        ("29 1/2 ±1/16 in", "TP-01", "29 9/16 in", Verdict.TOO_CLOSE),
        ("29 1/2 ±1/16 in", "TP-01", "29 5/8 in", Verdict.DOES_NOT_CONFORM),
        ("29 1/2 ±1/16 in", "TP-01", "29 3/8 in", Verdict.DOES_NOT_CONFORM),
        ("29 1/2 ±1/32 in", "TP-01", "29 1/2 in", Verdict.TOO_CLOSE),
        ("65 ±10 % lbf·ft", "TW-01", "65 lbf·ft", Verdict.CONFORMS),
        ("65 +5 −0 lbf·ft", "TW-01", "67 lbf·ft", Verdict.TOO_CLOSE),
        ("65 +5 −0 lbf·ft", "TW-01", "80 lbf·ft", Verdict.DOES_NOT_CONFORM),
        ("≤ 1/8 in", "CA-01", "0.120 in", Verdict.CONFORMS),
        ("≤ 1/8 in", "CA-01", "0.125 in", Verdict.TOO_CLOSE),
        ("≤ 1/8 in", "CA-01", "0.130 in", Verdict.DOES_NOT_CONFORM),
        ("−0.5 ±0.5°", "AG-01", "-0° 30'", Verdict.CONFORMS),
        ("180 ±10°", "AM-01", "185°", Verdict.CONFORMS),
    ],
)
def test_verdicts(limit: str, code: str, reading: str, verdict: Verdict) -> None:
    assert decide(parse_limits(limit), ALL[code], parse_quantity(reading), ISO_14253_95).verdict == verdict


def test_an_exact_gauge_decides_at_the_limit() -> None:
    limits = parse_limits("10 ±1 mm")
    for text, verdict in (("11 mm", Verdict.CONFORMS), ("11.000000001 mm", Verdict.DOES_NOT_CONFORM)):
        decision = decide(limits, GO_BY, parse_quantity(text), ISO_14253_95)
        assert decision.verdict == verdict
        assert decision.probability == (1.0 if verdict == Verdict.CONFORMS else 0.0)


def test_the_sentence_says_what_was_read_asked_and_used() -> None:
    close = decide(BASE, TAPE, parse_quantity("29 9/16 in"), ISO_14253_95)
    for part in ("29 9/16 in", "29 7/16 in to 29 9/16 in", "TP-01", "±0.040 in", "too close"):
        assert part in close.explanation
    never = decide(parse_limits("29 1/2 ±1/32 in"), TAPE, parse_quantity("29 1/2 in"), ISO_14253_95)
    assert "can never prove" in never.explanation
    plain = decide(BASE, TAPE, parse_quantity("29 9/16 in"), SIMPLE_ACCEPTANCE)
    assert "conforms as read" in plain.explanation


@pytest.mark.parametrize(
    ("code", "reading", "said"),
    [
        ("TP-01", "65 lbf·ft", "measures length"),
        ("TP-01", "-1 in", "outside the range of TP-01, 0 in to 16 ft"),
        ("TP-01", "17 ft", "outside the range"),
        ("TW-01", "29 in", "measures torque"),
    ],
)
def test_what_cannot_have_been_read_is_refused(code: str, reading: str, said: str) -> None:
    with pytest.raises(DecisionError, match=said):
        decide(BASE, ALL[code], parse_quantity(reading), ISO_14253_95)


def test_a_decision_keeps_everything_it_was_made_from() -> None:
    decision = decide(BASE, TAPE, parse_quantity("29 17/32 in"), ISO_14253_95)
    data = json.loads(json.dumps(decision.as_json()))
    assert data["reading"] == {"exact": "945/32", "unit": "in", "canonical": 750_093_750_000}
    assert data["limits"]["text"] == "29 1/2 ±1/16 in"
    assert data["limits"]["low_canonical"] == 747_712_500_000
    assert data["rule"] == {
        "name": "ISO 14253-1, 95 %",
        "version": 1,
        "probability": "19/20",
        "guard_of_u": None,
    }
    assert data["expanded_uncertainty"] == data["thresholds"]["expanded_uncertainty"] == 1_024_726_844
    assert data["guard"] == data["thresholds"]["guard"]
    assert data["verdict"] == "too_close"
    assert data["explanation"] == decision.explanation
    assert Decision.from_json(data) == decision


@pytest.mark.parametrize("instrument", ALL.values(), ids=ALL)
def test_instruments_survive_json(instrument: InstrumentData) -> None:
    assert InstrumentData.from_json(json.loads(json.dumps(instrument.as_json()))) == instrument


@pytest.mark.parametrize(
    ("text", "error", "fraction"),
    [
        ("1/32 in", "1/32 in", None),
        ("±1/32 in", "1/32 in", None),
        ("+/- 0.5 N·m", "0.5 N·m", None),
        ("4 %", None, Fraction(1, 25)),
        ("±4 % of reading", None, Fraction(1, 25)),
        ("0.02", "0.02 mm", None),
    ],
)
def test_permissible_errors_as_certificates_state_them(
    text: str, error: str | None, fraction: Fraction | None
) -> None:
    expected = None if error is None else parse_quantity(error)
    assert parse_permissible(text, default_unit="mm") == (expected, fraction)


@pytest.mark.parametrize("text", ["", "good", "-1 mm", "4 % of full scale", "±"])
def test_rejects_what_is_no_permissible_error(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_permissible(text, default_unit="mm")


@given(
    sixty_fourths=st.integers(0, 64 * 60),
    code=st.sampled_from(["TP-01", "GB-01"]),
    rule=st.sampled_from(list(RULES.values())),
)
def test_thresholds_agree_with_the_decision(sixty_fourths: int, code: str, rule: object) -> None:
    reading = Quantity(Fraction(sixty_fourths, 64), "in")
    decision = decide(BASE, ALL[code], reading, rule)
    assert decision.verdict == thresholds(BASE, ALL[code], rule).judge(reading.canonical)


@given(thousandths=st.integers(20_500, 149_500), limit=st.integers(25, 140))
def test_the_unit_of_a_reading_does_not_matter(thousandths: int, limit: int) -> None:
    limits = parse_limits(f"{limit} ±10 % lbf·ft")
    reading = Quantity(Fraction(thousandths, 1000), "lbf·ft")
    one = decide(limits, CLICK_WRENCH, reading, ISO_14253_95)
    other = decide(limits, CLICK_WRENCH, reading.to("N·m"), ISO_14253_95)
    assert one.verdict == other.verdict


@given(reading=st.integers(0, 6_000), better=st.integers(1, 1_000))
def test_a_better_instrument_never_turns_a_verdict_round(reading: int, better: int) -> None:
    limits = parse_limits("2…4 in")
    good = InstrumentData(
        "X", "caliper", CALIPER.dimension, CALIPER.resolution, Quantity(Fraction(better, 100_000), "in")
    )
    poor = InstrumentData(
        "Y", "caliper", CALIPER.dimension, CALIPER.resolution, Quantity(Fraction(better, 1_000), "in")
    )
    q = Quantity(Fraction(reading, 1_000), "in")
    verdicts = {decide(limits, instrument, q, ISO_14253_95).verdict for instrument in (good, poor)}
    assert verdicts != {Verdict.CONFORMS, Verdict.DOES_NOT_CONFORM}
