"""The same standards at other sizes, worked out apart: decimals and textbook forms, not the code's own."""

import math
from decimal import Decimal, getcontext
from fractions import Fraction
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.decision.normal import conformance_probability
from shop.engineering.errors import QuantityError
from shop.engineering.holes.clearance import Fit, clearance_drill, clearance_hole_mm, tap_drill
from shop.engineering.holes.edges import least_edge_distance
from shop.engineering.holes.spindle import rpm, rpm_metric
from shop.engineering.joints.grades import proof_load_n, strength_of, tensile_load_n
from shop.engineering.joints.threads import ISO, UNIFIED, parse_thread
from shop.engineering.joints.tightening import recommended_clamp_n, torque_for_nm
from shop.engineering.joints.wrenches import check_tool, setting_for
from shop.engineering.quantities import Quantity, format_feet, format_minutes, format_quantity, parse_quantity

getcontext().prec = 40
LBF = Decimal("0.45359237") * Decimal("9.80665")
LBF_FT = LBF * Decimal("0.3048")


@given(st.integers(1, 500_000))
def test_pound_feet_and_newton_metres_are_worked_out_from_the_definitions(hundredths: int) -> None:
    """The pound of 1959, standard gravity and the foot of 0.3048 m, in decimals of forty digits."""
    written = Decimal(hundredths) / 100
    found = parse_quantity(f"{written} lbf·ft").to("N·m").value
    assert abs(Decimal(found.numerator) / Decimal(found.denominator) - written * LBF_FT) < Decimal("1e-30")
    inverse = parse_quantity(f"{written} N·m").to("lbf·in").value
    expected = written / LBF_FT * 12
    assert abs(Decimal(inverse.numerator) / Decimal(inverse.denominator) - expected) < Decimal("1e-30")


@pytest.mark.parametrize(
    ("text", "fraction", "said"),
    [
        ("1/128 in", 64, "1/64 in"), ("-1/128 in", 64, "−1/64 in"), ("3/128 in", 64, "1/32 in"),
        ("127/128 in", 64, "1 in"), ("-127/128 in", 64, "−1 in"), ("1/32 in", 16, "1/16 in"),
        ("11 31/32 in", 16, "12 in"), ("0.0078 in", 64, "0 in"), ("-0.0078 in", 64, "0 in"),
        ("12.7 mm", 64, "1/2 in"), ("749.3 mm", 16, "29 1/2 in"),
    ],
)  # fmt: skip
def test_ties_and_carries_of_a_fraction(text: str, fraction: int, said: str) -> None:
    """House rule: an exact half goes away from nothing."""
    assert format_quantity(parse_quantity(text), fraction=fraction) == said


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("5'-3 1/2\"", "5' 3 1/2\""), ("63.5 in", "5' 3 1/2\""), ("11 31/32 in", "1' 0\""),
        ("-23 63/64 in", "−2' 0\""), ("1613 mm", "5' 3 1/2\""), ("7/16 in", '7/16"'), ("0 in", '0"'),
    ],
)  # fmt: skip
def test_feet_inches_and_fractions_carry(text: str, said: str) -> None:
    assert format_feet(parse_quantity(text)) == said


@given(st.integers(-40_000, 40_000))
def test_feet_and_inches_are_read_back_as_they_are_written(sixteenths: int) -> None:
    length = Quantity(Fraction(sixteenths, 16), "in")
    assert parse_quantity(format_feet(length), default_unit="in").to("in").value == length.value


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("−0° 45′", "−0° 45.0′"), ("-0.0005°", "0° 0.0′"), ("0.9999°", "1° 0.0′"), ("-0.9999°", "−1° 0.0′"),
        ("-1.5°", "−1° 30.0′"), ("–2° 06′ 36″", "−2° 6.6′"),
    ],
)  # fmt: skip
def test_an_angle_keeps_its_sign_and_carries(text: str, said: str) -> None:
    assert format_minutes(parse_quantity(text)) == said


@pytest.mark.parametrize("name", [f"{size}-{n}" for size, counts in UNIFIED.items() for n in counts])
def test_stress_area_of_each_unified_thread(name: str) -> None:
    """ASME B1.1 in inches: π/4 (d − 0.9743/n)²."""
    size, n = name.rsplit("-", 1)
    inches = sum(Fraction(part) for part in size.split())
    area = math.pi / 4 * (float(inches) - 0.9743 / int(n)) ** 2
    assert parse_thread(name).stress_area_in2 == pytest.approx(area, rel=1e-12)


@pytest.mark.parametrize("name", [f"M{size}x{pitch}" for size, pitches in ISO.items() for pitch in pitches])
def test_stress_area_of_each_iso_thread(name: str) -> None:
    """ISO 898-1: ((d2 + d3)/2)² π/4 with d2 = d − 0.649519 P and d3 = d1 − H/6."""
    d, p = (float(part) for part in name.removeprefix("M").split("x"))
    height = p * math.sqrt(3) / 2
    pitch_diameter, root = d - 0.75 * height, d - 1.25 * height - height / 6
    area = math.pi / 4 * ((pitch_diameter + root) / 2) ** 2
    assert parse_thread(name).stress_area_mm2 == pytest.approx(area, rel=1e-5)


@pytest.mark.parametrize(
    ("thread", "grade", "proof_n", "tensile_n"),
    [
        # From memory of ISO 898-1:2013 tables 4 and 5, coarse threads; their figures are rounded.
        ("M8", "8.8", 21_200, 29_200), ("M14", "8.8", 66_700, 92_000), ("M18", "8.8", 115_000, 159_000),
        ("M24", "8.8", 212_000, 293_000), ("M10", "10.9", 48_100, 60_300), ("M20", "10.9", 203_000, 255_000),
        ("M12", "12.9", 81_800, 103_000), ("M12", "4.6", 19_000, 33_700), ("M16", "5.6", 44_000, 78_500),
        ("M10", "4.8", 18_000, 24_400), ("M12", "6.8", 37_100, 50_600),
    ],
)  # fmt: skip
def test_other_classes_bear_what_iso_898_1_prints(
    thread: str, grade: str, proof_n: int, tensile_n: int
) -> None:
    bolt = parse_thread(thread)
    strength = strength_of(grade, bolt)
    assert proof_load_n(bolt, strength) == pytest.approx(proof_n, rel=0.006)
    assert tensile_load_n(bolt, strength) == pytest.approx(tensile_n, rel=0.006)


@pytest.mark.parametrize(
    ("thread", "grade", "proof_ksi", "yield_ksi", "tensile_ksi"),
    [
        # Shigley and Mischke, table of SAE specifications for steel bolts, at the edges of the bands.
        ("3/4-10", "2", 55, 57, 74), ("7/8-9", "2", 33, 36, 60), ("1/4-20", "1", 33, 36, 60),
        ("1-8", "5", 85, 92, 120), ("1 1/8-7", "5", 74, 81, 105), ("1-8", "5.2", 85, 92, 120),
        ("1 1/2-6", "7", 105, 115, 133), ("1 1/2-6", "8", 120, 130, 150), ("1-12", "8.2", 120, 130, 150),
    ],
)  # fmt: skip
def test_sae_grades_at_the_edges_of_their_bands(
    thread: str, grade: str, proof_ksi: int, yield_ksi: int, tensile_ksi: int
) -> None:
    strength = strength_of(f"SAE grade {grade}", parse_thread(thread))
    found = (strength.proof_mpa, strength.yield_mpa, strength.tensile_mpa)
    assert found == pytest.approx([ksi * 6.894757293168361 for ksi in (proof_ksi, yield_ksi, tensile_ksi)])


@pytest.mark.parametrize(
    ("thread", "grade", "says"),
    [
        ("1 1/8-7", "5.2", "above 1 in"), ("M18", "9.8", "above 16 mm"), ("M42x4.5", "10.9", "above 39 mm"),
        ("#10-32", "8", "begin at 1/4 in"), ("M10", "5", "for inch bolts"), ("3/8-16", "10.9", "for metric"),
        ("3/8-16", "11", "they have"),
    ],
)  # fmt: skip
def test_rejects_a_bolt_outside_of_the_tables(thread: str, grade: str, says: str) -> None:
    with pytest.raises(QuantityError, match=says):
        strength_of(grade, parse_thread(thread))


def test_a_torque_by_the_short_form_in_pound_inches() -> None:
    """Shigley 8-27: T = K F d with K = 0.20, F = 75 % of 120 ksi × 0.1419 in², d = 1/2 in."""
    bolt = parse_thread("1/2-13")
    clamp = recommended_clamp_n(bolt, strength_of("8", bolt))
    pound_feet = 0.20 * (0.75 * 120_000 * 0.1419) * 0.5 / 12
    assert torque_for_nm(clamp, bolt, 0.20) / 1.3558179483314004 == pytest.approx(pound_feet, rel=1e-3)


@pytest.mark.parametrize(
    ("thread", "drill"),
    [
        # Common tap drill charts for about 75 % of thread, from memory.
        ("1/4-28", "#3"), ("5/16-24", "I"), ("3/8-24", "Q"), ("7/16-20", "25/64"), ("9/16-18", "33/64"),
        ("5/8-18", "37/64"), ("3/4-10", "21/32"), ("3/4-16", "11/16"), ("7/8-9", "49/64"), ("1-8", "7/8"),
    ],
)  # fmt: skip
def test_other_tap_drills(thread: str, drill: str) -> None:
    found = parse_thread(thread)
    assert tap_drill(found.major_in, found.per_inch).name == drill


@pytest.mark.parametrize(
    ("bolt", "fine", "medium", "coarse"),
    [
        # ISO 273 from memory; M36 and M39 as BS EN 20273 reprints it.
        ("1.6", "1.7", "1.8", "2"), ("2.5", "2.7", "2.9", "3.1"), ("4", "4.3", "4.5", "4.8"),
        ("14", "15", "15.5", "16.5"), ("18", "19", "20", "21"), ("22", "23", "24", "26"),
        ("27", "28", "30", "32"), ("36", "37", "39", "42"), ("39", "40", "42", "45"),
    ],
)  # fmt: skip
def test_other_bolts_of_iso_273(bolt: str, fine: str, medium: str, coarse: str) -> None:
    found = [clearance_hole_mm(Fraction(bolt), fit) for fit in Fit]
    assert found == [Fraction(fine), Fraction(medium), Fraction(coarse)]


@pytest.mark.parametrize(
    ("bolt", "close", "normal", "loose"),
    [
        # ASME B18.2.8 as an open table of it gives them.
        (Fraction("0.19"), "#5", "#2", "B"), (Fraction(7, 8), "29/32", "15/16", "1 1/32"),
        (Fraction(1), "1 1/32", "1 3/32", "1 5/32"), (Fraction(3, 2), "1 9/16", "1 5/8", "1 47/64"),
    ],
)  # fmt: skip
def test_other_bolts_of_b18_2_8(bolt: Fraction, close: str, normal: str, loose: str) -> None:
    assert [clearance_drill(bolt, fit).name for fit in Fit] == [close, normal, loose]


@pytest.mark.parametrize(
    ("bolt", "metric", "least"),
    [
        # AISC 360-16 tables J3.4 and J3.4M from memory, and 1.25 d above them.
        (Fraction(7, 8), False, "9/8"), (Fraction(1), False, "5/4"), (Fraction(9, 8), False, "3/2"),
        (Fraction(11, 8), False, "55/32"), (Fraction(24), True, "30"), (Fraction(36), True, "46"),
        (Fraction(48), True, "60"),
    ],
)  # fmt: skip
def test_other_edge_distances(bolt: Fraction, metric: bool, least: str) -> None:
    assert least_edge_distance(bolt, metric=metric).least == Fraction(least)


@given(st.floats(10, 500), st.floats(0.05, 3))
def test_a_rim_runs_at_the_speed_that_was_asked(feet: float, inches: float) -> None:
    assert rpm(feet, inches) * math.pi * inches / 12 == pytest.approx(feet)
    assert rpm(feet, inches) == pytest.approx(rpm_metric(feet * 0.3048, inches * 25.4))


@given(st.floats(-3, 3), st.floats(0.01, 2), st.floats(-2, 0), st.floats(0.1, 2))
def test_the_chance_of_lying_inside_is_that_of_a_normal_distribution(
    y: float, u: float, low: float, high: float
) -> None:
    """JCGM 106, 7.4, against the standard library's own distribution."""
    true = NormalDist(y, u)
    expected = true.cdf(high) - true.cdf(low)
    assert conformance_probability(y, u, low=low, high=high) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(
    ("set_nm", "reference", "maximum", "passes"),
    [
        (83.2, 80, 200, True), (76.8, 80, 200, True), (83.3, 80, 200, False), (100, 104.1, 200, True),
        (100, 104.2, 200, False), (10.6, 10, 10, True), (10.7, 10, 10, False), (10.5, 10, 10.5, False),
    ],
)  # fmt: skip
def test_a_torque_tool_at_the_edge_of_what_it_may_be_off(
    set_nm: float, reference: float, maximum: float, passes: bool
) -> None:
    """ISO 6789-1: related to the reference; 6 % up to a maximum of 10 N·m, else 4 %."""
    assert check_tool(set_nm, reference, maximum_nm=maximum).passes is passes


@pytest.mark.parametrize(("degrees", "setting"), [(0, 90), (90, 100), (180, 112.5), (60, 94.7368421)])
def test_a_crowfoot_at_other_angles(degrees: float, setting: float) -> None:
    """Lever of 18 and reach of 2 in any unit: 100 × 18 / (18 + 2 cos a)."""
    assert setting_for(100, 18, 2, degrees=degrees) == pytest.approx(setting)
