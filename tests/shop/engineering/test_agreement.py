"""Judging whether two persons found the same."""

import json

import pytest

from shop.engineering.decision import DecisionError, Verdict, decide_agreement, decide_exact
from shop.engineering.quantities import QuantityError, parse_quantity
from tests.shop.engineering.instruments import CALIPER, TAPE


@pytest.mark.parametrize(
    ("second", "agree", "verdict"),
    [
        ("14 9/16 in", "1/16 in", Verdict.CONFORMS),
        ("14 7/16 in", "1/16 in", Verdict.CONFORMS),
        ("14 19/32 in", "1/16 in", Verdict.DOES_NOT_CONFORM),
        ("14 17/32 in", None, Verdict.CONFORMS),
        ("14 19/32 in", None, Verdict.DOES_NOT_CONFORM),
    ],
)
def test_a_witness_agrees_within_what_is_stated_or_known(
    second: str, agree: str | None, verdict: Verdict
) -> None:
    allowed = None if agree is None else parse_quantity(agree)
    found = decide_agreement(parse_quantity("14 1/2 in"), parse_quantity(second), TAPE, allowed)
    assert found.verdict == verdict
    assert json.loads(json.dumps(found.as_json()))["is_stated"] == (agree is not None)


def test_two_instruments_agree_within_both_uncertainties() -> None:
    first, second = parse_quantity("5 in"), parse_quantity("5 1/32 in")
    fine = decide_agreement(first, second, CALIPER)
    mixed = decide_agreement(first, second, CALIPER, first_instrument=TAPE)
    assert (fine.verdict, mixed.verdict) == (Verdict.DOES_NOT_CONFORM, Verdict.CONFORMS)
    assert fine.allowed.canonical < mixed.allowed.canonical


def test_readings_of_different_things_never_agree() -> None:
    with pytest.raises(DecisionError):
        decide_agreement(parse_quantity("65 lbf·ft"), parse_quantity("14 in"), TAPE)
    with pytest.raises(QuantityError):
        decide_agreement(parse_quantity("14 in"), parse_quantity("14 in"), TAPE, parse_quantity("1 lbf·ft"))


def test_a_count_is_exact() -> None:
    assert decide_exact(12, 12).verdict == Verdict.CONFORMS
    short = decide_exact(12, 11)
    assert short.verdict == Verdict.DOES_NOT_CONFORM
    assert short.explanation == "11 counted, 12 asked."
    assert short.as_json()["expected"] == 12
