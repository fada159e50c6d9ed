"""Decisions against published values: JCGM 106, GUM, ISO 14253-1, ILAC-G8, printed examples."""

import json
import math
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest

from shop.engineering.decision import EXPANDED_UNCERTAINTY, SIMPLE_ACCEPTANCE, Rule, Thresholds
from shop.engineering.decision.capability import uncertainty_ratio
from shop.engineering.decision.guard_bands import GuardBand, guard_band_factor
from shop.engineering.decision.normal import conformance_probability, normal_share
from shop.engineering.decision.thresholds import thresholds_for
from shop.engineering.decision.uncertainty import combined, rectangular_variance, resolution_variance
from shop.engineering.limits import parse_limits
from shop.engineering.quantities import Quantity
from tests.reference.rows import Row, rows

MM = 10**9


def _zone(text: str, u_mm: str, rule: Rule) -> Thresholds:
    return thresholds_for(parse_limits(text), (Fraction(u_mm) * MM) ** 2, rule)


def _inside(y: float, u: float, T_L: float | None = None, T_U: float | None = None) -> float:  # noqa: N803
    return conformance_probability(y, u, low=T_L, high=T_U)


def _outside(**given: float) -> float:
    return 1 - _inside(**given)


def _risk_at_acceptance_limit(rule: Rule) -> float:
    found = _zone("≤ 10 mm", "0.5", rule)
    return 1 - conformance_probability(found.accept_high / MM, 0.5, high=10)


def _resolution(step: float) -> float:
    return combined([resolution_variance(Fraction(str(step)))])


NUMBERS: dict[str, Callable[[dict[str, Any]], float | Fraction]] = {
    **dict.fromkeys(("C001", "C003", "C005", "C007"), lambda given: normal_share(given["z"])),
    **dict.fromkeys(("C009", "C011", "C014"), lambda given: _inside(**given)),
    "C012": lambda given: _outside(**given),
    "C016": lambda given: Fraction(
        _zone(f"≤ {given['MPE_mm']} mm", str(given["U_mm"] / 2), EXPANDED_UNCERTAINTY).accept_high, MM
    ),
    "C020": lambda given: _risk_at_acceptance_limit(EXPANDED_UNCERTAINTY),
    "C021": lambda given: _risk_at_acceptance_limit(SIMPLE_ACCEPTANCE),
    "C024": lambda given: 1 - _inside(9.5, 0.3, given["T_L"], given["T_U"]),
    "C040": lambda given: guard_band_factor(given["TUR"], GuardBand.MANAGED_RISK),
    "C041": lambda given: guard_band_factor(given["TUR"], GuardBand.ROOT_SUM_SQUARES),
    "C042": lambda given: guard_band_factor(given["TUR"], GuardBand.WHOLE_UNCERTAINTY),
    "C045": lambda given: 1 - _inside(given["mean"], given["sigma"], given["LSL"], given["USL"]),
    "C048": lambda given: uncertainty_ratio(given["T_U"] - given["T_L"], Fraction(given["U95"])),
    "C050": lambda given: _resolution(given["resolution"]),
    "C052": lambda given: _resolution(given["resolution_deg"]),
    "C053": lambda given: combined([rectangular_variance(Fraction(given["high"] - given["low"], 2))]),
    "C057": lambda given: combined(
        [Fraction(str(given["s"])) ** 2 / given["n"], resolution_variance(Fraction(given["resolution"]))]
    ),
    **dict.fromkeys(("C059", "C060"), lambda given: combined(Fraction(str(u)) ** 2 for u in given["u"])),
}
TEXTS = {"C015", "C017", "C019"}


def _row(key: str) -> Row:
    return next(row for row in rows("conformity.csv") if row.id == key)


@pytest.mark.parametrize("row", [r for r in rows("conformity.csv") if r.id not in TEXTS], ids=repr)
def test_number_published(row: Row) -> None:
    assert row.accepts(NUMBERS[row.id](json.loads(row.inputs)))


def test_spread_of_row_c024_is_the_one_used_published() -> None:
    assert json.loads(_row("C024").inputs)["process"] == "N(9.5,0.3)"


def test_guarded_acceptance_limits_jcgm_106_8_3_2_published() -> None:
    row = _row("C015")
    assert json.loads(row.inputs) == {"T_L": -3, "T_U": 3, "u": 0.5, "k": 2}
    found = _zone("−3…3 mm", "0.5", EXPANDED_UNCERTAINTY)
    low, high = (Fraction(text) for text in row.expected.split(" ; "))
    assert (Fraction(found.accept_low, MM), Fraction(found.accept_high, MM)) == (low, high)


@pytest.mark.parametrize("key", ["C017", "C019"])
def test_verdict_on_a_deviation_iso_14253_1_published(key: str) -> None:
    row = _row(key)
    given = json.loads(row.inputs)
    found = _zone(f"0 ±{given['MPE_mm']} mm", str(given["U_mm"] / 2), EXPANDED_UNCERTAINTY)
    deviation = Quantity(Fraction(str(given["dev_mm"])), "mm")
    assert found.judge(deviation.canonical).replace("_", " ") == row.expected


def test_the_largest_risk_is_printed_below_half_published() -> None:
    assert math.isclose(_risk_at_acceptance_limit(SIMPLE_ACCEPTANCE), 0.5)
