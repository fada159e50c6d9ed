"""The vectors that define the decision rule for any other implementation."""

import json
import math
from collections import Counter
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from scipy.stats import norm

import shop.engineering.decision
from shop.engineering.decision import InstrumentData, Rule, Verdict, rule_named
from shop.engineering.decision.thresholds import Thresholds, thresholds_for
from shop.engineering.decision.uncertainty import reading_variance
from shop.engineering.limits import Limits
from shop.engineering.quantities.measures import CANONICAL, UNITS, Quantity

FILE = Path(shop.engineering.decision.__file__).with_name("decision_vectors.json")
DATA = json.loads(FILE.read_text(encoding="utf-8"))
HEADER, CASES = DATA["header"], DATA["vectors"]
EVERY_CASE = pytest.mark.parametrize(
    "case", CASES, ids=lambda case: f"{case['readings'][0]['id']} {case['rule']}"
)


def _limits(case: dict[str, Any]) -> Limits:
    return Limits.from_json({**case["limits"], "nominal": None, "default_applied": False})


def _thresholds(case: dict[str, Any]) -> Thresholds:
    limits = _limits(case)
    instrument = InstrumentData.from_json(HEADER["instruments"][case["instrument"]])
    variance = case["times"] * reading_variance(instrument, limits.largest.quanta)
    return thresholds_for(limits, variance, rule_named(case["rule"]))


@EVERY_CASE
def test_thresholds_are_those_of_the_vectors(case: dict[str, Any]) -> None:
    found = _thresholds(case)
    assert {name: getattr(found, name) for name in case["thresholds"]} == case["thresholds"]


@EVERY_CASE
def test_verdicts_are_those_of_the_vectors(case: dict[str, Any]) -> None:
    found = _thresholds(case)
    for reading in case["readings"]:
        quantity = Quantity(Fraction(reading["exact"]), reading["unit"])
        assert quantity.canonical == reading["canonical"], reading["id"]
        assert found.judge(quantity.canonical) == reading["verdict"], reading["id"]


@EVERY_CASE
def test_limits_in_the_vectors_are_the_canonical_ones(case: dict[str, Any]) -> None:
    limits, written = _limits(case), case["limits"]
    assert (limits.low_canonical, limits.high_canonical) == (
        written["low_canonical"],
        written["high_canonical"],
    )


@EVERY_CASE
def test_a_second_opinion_on_the_probability(case: dict[str, Any]) -> None:
    """With scipy's normal distribution: a verdict by the ISO rule holds with 95 %."""
    probability = HEADER["rules"][case["rule"]]["probability"]
    u = case["thresholds"]["expanded_uncertainty"] / 2
    low, high = case["limits"]["low_canonical"], case["limits"]["high_canonical"]
    if probability is None or u == 0:
        return
    for reading in case["readings"]:
        above = 1 if low is None else norm.cdf((reading["canonical"] - low) / u)
        inside = above - (0 if high is None else norm.cdf((reading["canonical"] - high) / u))
        if reading["verdict"] == Verdict.CONFORMS:
            assert inside >= float(Fraction(probability)) - 1e-9, reading["id"]
        elif reading["verdict"] == Verdict.DOES_NOT_CONFORM:
            assert inside <= 1 - float(Fraction(probability)) + 1e-9, reading["id"]
        elif low is None or high is None:
            assert 0.05 - 1e-5 < inside < 0.95 + 1e-5, reading["id"]


def test_the_header_holds_the_units_and_rules_in_use() -> None:
    for dimension, told in HEADER["units"].items():
        assert told["canonical"] == CANONICAL[dimension]
        assert {unit: Fraction(size) for unit, size in told["quanta"].items()} == {
            unit: size for unit, (of, size) in UNITS.items() if of == dimension
        }
    for name, rule in HEADER["rules"].items():
        assert Rule.from_json(rule) == rule_named(name)
        assert rule["version"] == HEADER["rule_version"]


def test_the_vectors_cover_what_matters() -> None:
    readings = [reading for case in CASES for reading in case["readings"]]
    assert len({reading["id"] for reading in readings}) == len(readings) >= 60
    assert set(Counter(reading["verdict"] for reading in readings)) == set(Verdict)
    assert {case["rule"] for case in CASES} == set(HEADER["rules"])
    assert {case["instrument"] for case in CASES} == set(HEADER["instruments"])
    assert {case["thresholds"]["provable"] for case in CASES} == {True, False}
    assert any(case["limits"]["low"] is None for case in CASES)
    assert any(case["limits"]["high"] is None for case in CASES)
    narrow = [case for case in CASES if _is_narrow(case)]
    assert narrow
    for name in ("accept_low", "accept_high", "reject_low", "reject_high"):
        assert any(reading["about"] == f"on {name}" for reading in readings)
        assert any(reading["about"] == f"one quantum short of {name}" for reading in readings)
    assert all(abs(reading["canonical"]) < 2**53 for reading in readings)


def _is_narrow(case: dict[str, Any]) -> bool:
    """A guard band that two limits make wider than one limit would."""
    guard, u = case["thresholds"]["guard"], case["thresholds"]["expanded_uncertainty"] / 2
    is_iso = HEADER["rules"][case["rule"]]["probability"] is not None
    return bool(is_iso and guard and guard > math.ceil(1.644854 * u) + 1)
