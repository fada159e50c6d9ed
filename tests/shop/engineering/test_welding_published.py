"""Welds and hot work against AWS D1.1 and D1.3, AISC 360, EN 1011, NFPA 51B, 29 CFR and worked examples."""

import json
import re
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest

from shop.engineering.errors import QuantityError
from shop.engineering.quantities.figures import read_number
from shop.engineering.welds import arc, fillets, hot_work, plug_welds, steel_chemistry
from shop.engineering.welds import criteria as weld_criteria
from shop.engineering.welds import strength as weld_strength
from shop.engineering.welds.arc import ArcProcess
from tests.reference.rows import Row, rows

WELDING, HOT, UNITS = "welding.csv", "hotwork_safety.csv", "units_fractions.csv"
Given = dict[str, Any]
PROCESSES = {"SAW": "SAW", "SMAW/MMA": "SMAW", "GMAW/MIG/MAG": "GMAW", "GTAW/TIG": "GTAW"}


def inch(text: str) -> Fraction:
    return read_number(text)


def heat(given: Given) -> float:
    speed = given.get("travel_mm_per_min") or given.get("travel_in_per_min")
    return given.get("k", 1) * arc.arc_energy(given["V"], given["A"], speed)


def leg(given: Given) -> Fraction:
    if "T_mm" in given:
        return fillets.least_leg(Fraction(given["T_mm"]), metric=True).least
    size = given["T_in"]
    thickness = inch(size) if isinstance(size, str) else Fraction(size)
    return fillets.least_leg(thickness, cyclic=given.get("loading") == "cyclic").least


def capped_leg(given: Given) -> Fraction:
    parts = (Fraction(given["thicker_in"]), Fraction(given["thinner_in"]))
    return fillets.least_leg(*parts, low_hydrogen=False).least


def undercut(given: Given) -> str:
    length = given.get("len_in", given.get("accumulated_len_in"))
    held = weld_criteria.undercut_accepted(given["undercut_in"], given["t_in"], length_in=length)
    return "accept" if held else "reject"


def undersize(given: Given) -> str:
    sizes = ("nominal_in", "found_in", "undersize_len_in", "weld_len_in")
    return "accept" if weld_criteria.undersize_accepted(*(given[s] for s in sizes)) else "reject"


def strength(given: Given) -> float:
    sizes = (given["Fexx_ksi"], given["leg_in"], given["length_in"])
    if "phi" in given:
        return weld_strength.fillet_design(*sizes, angle_deg=given["theta_deg"])
    return weld_strength.fillet_nominal(*sizes)


CHECKS: dict[str, Callable[[Given], object]] = {
    "process efficiency factor": lambda g: arc.efficiency_of(ArcProcess(PROCESSES[g["process"]])),
    "arc energy": heat,
    "heat input with efficiency, imperial": lambda g: arc.per_inch(heat(g)),
    "heat input": heat,
    "travel speed that gives": lambda g: arc.slowest_travel(
        g["V"], g["A"], g["max_kJ_per_mm"], efficiency=g["k"]
    ),
    "minimum fillet leg": leg,
    "cap: minimum size": capped_leg,
    "floor for cyclically": leg,
    "maximum fillet leg": lambda g: fillets.greatest_leg_at_edge(g["edge_thickness_in"]),
    "minimum effective length": lambda g: fillets.least_length(g["leg_in"]),
    "effective throat": lambda g: fillets.throat(g["leg_in"]),
    "allowable unit force": lambda g: weld_strength.fillet_allowable(g["Fexx_ksi"], g["leg_in"]),
    "allowable load": lambda g: weld_strength.fillet_allowable(g["Fexx_ksi"], g["leg_in"], g["length_in"]),
    "LRFD strength": strength,
    "nominal strength": strength,
    "minimum plug-weld hole": lambda g: plug_welds.least_plug_hole(inch(g["t_in"])),
    "maximum plug-weld hole": lambda g: plug_welds.greatest_plug_hole(
        Fraction(g["t_in"]), Fraction(g["weld_thickness_in"])
    ),
    "plug-weld filling": lambda g: plug_welds.plug_filling(Fraction(g["t_in"])),
    "minimum plug centre": lambda g: plug_welds.least_plug_spacing(Fraction(g["hole_dia_in"])),
    "plug weld allowable": lambda g: weld_strength.plug_allowable(g["Fexx_ksi"], g["hole_dia_in"]),
    "sheet-metal arc-spot": lambda g: plug_welds.thin_plug_diameter(g["t_in"], g["de_in"]),
    "carbon equivalent": steel_chemistry.carbon_equivalent,
    "CE(IIW)": steel_chemistry.carbon_equivalent,
    "Pcm": steel_chemistry.cracking_parameter,
    "RULE OF THUMB amperage": lambda g: arc.starting_amperes(g["t_in"]),
    "RULE OF THUMB wire": lambda g: arc.starting_wire_feed(g["wire_in"], g["A"]),
    "cracks allowed": lambda g: "accept" if weld_criteria.crack_accepted(g["crack_len_in"]) else "reject",
    "permitted undersize": lambda g: weld_criteria.undersize_allowed(inch(g["nominal_in"])),
    "undersize decision": undersize,
    "undercut decision": undercut,
    "visible piping porosity": lambda g: tuple(map(Fraction, weld_criteria.porosity_allowed())),
    "back-step": lambda g: "opposite" if weld_criteria.back_step_is_opposite() else "along",
}
SHIPYARD = hot_work.watch_rule("1915.504")
SAFETY: dict[str, Callable[[Given], object]] = {
    "H001": lambda g: hot_work.watch_rule("1910.252").minutes,
    "H002": lambda g: hot_work.watch_rule("1910.252").distance_ft,
    "H003": lambda g: g["ft"] * hot_work.FT_M,
    "H005": lambda g: hot_work.watch_rule("51B-2014").minutes,
    "H006": lambda g: hot_work.watch_rule("51B-2019").minutes,
    "H007": lambda g: hot_work.watch_rule("51B-2019").monitoring_hours,
    "H008": lambda g: str(hot_work.watch_complete(g["minutes_since_work_ended"], f"51B-{g['edition']}")),
    "H009": lambda g: str(hot_work.watch_complete(g["minutes_since_work_ended"], f"51B-{g['edition']}")),
    "H012": lambda g: str(hot_work.watch_needed(g["distance_ft"], shielded=g["shielded"])),
    "H016": lambda g: SHIPYARD.minutes,
    "H017": lambda g: str(hot_work.watch_may_do_other_work()),
    "H019": lambda g: hot_work.STRIP_BACK_IN,
    "H020": lambda g: hot_work.ZINC_LIMIT_MG_M3,
    "H022": lambda g: "-".join(map(str, hot_work.FUME_FEVER_H)),
    "H024": lambda g: str(hot_work.cables_off()),
    "H025": lambda g: hot_work.MODULES_MM,
    "H026": lambda g: str(hot_work.work_clamp()),
    "H028": lambda g: hot_work.STANDS_STANDARD,
    "H030": lambda g: hot_work.JACK_SHARE,
    "H031": lambda g: hot_work.stand_share(g["rating_lb_per_pair"], per_pair=True),
    "H032": lambda g: hot_work.stand_use(g["load_on_stand_lb"], g["capacity_per_stand_lb"]),
}


def matches(row: Row, found: object) -> bool:
    """Whether a figure, or a part of an answer, is the one expected within the row's tolerance."""
    if isinstance(found, str):
        return found == row.expected
    parts = found if isinstance(found, tuple) else (found,)
    expected = [read_number(p) for p in row.expected.split(" ; ")]
    slack = Fraction(row.tolerance) + Fraction(1, 10**12)
    return len(parts) == len(expected) and all(
        abs(Fraction(p) - e) <= slack for p, e in zip(parts, expected, strict=True)
    )


WELD_ROWS = [row for row in rows(WELDING) if row.expected != "error"]


@pytest.mark.parametrize("row", WELD_ROWS, ids=repr)
def test_welding_published(row: Row) -> None:
    check = next(check for words, check in CHECKS.items() if row.quantity.startswith(words))
    assert matches(row, check(json.loads(row.inputs)))


@pytest.mark.parametrize("row", [r for r in rows(HOT) if r.id in SAFETY], ids=repr)
def test_hot_work_published(row: Row) -> None:
    assert matches(row, SAFETY[row.id](json.loads(row.inputs)))


def test_every_row_on_hot_work_has_a_test() -> None:
    assert {row.id for row in rows(HOT)} == {*SAFETY, "H015", "H034"}


def test_the_construction_rule_gives_no_figure_h015() -> None:
    rule = hot_work.watch_rule("1926.352")
    assert (rule.minutes, rule.distance_ft) == (None, None)
    assert not hot_work.watch_complete(600, "1926.352")


def test_the_local_authority_decides_h034() -> None:
    assert "authority having jurisdiction" in hot_work.DEFERS


@pytest.mark.parametrize("row", rows(UNITS, "heat input"), ids=repr)
def test_heat_input_published(row: Row) -> None:
    volts, amperes, speed, k = (float(n) for n in re.findall(r"=([\d.]+)", row.inputs))
    found = k * arc.arc_energy(volts, amperes, speed)
    assert row.accepts(arc.per_inch(found) if row.unit == "kJ/in" else found)


def test_standing_still_has_no_heat_input_rejects_w016() -> None:
    with pytest.raises(QuantityError, match="above nothing"):
        arc.arc_energy(20, 150, 0)


def test_both_conventions_stand_side_by_side() -> None:
    found = arc.run_heat(24, 180, 300, ArcProcess.GMAW)
    assert (round(found.arc_energy, 3), round(found.heat_input, 3)) == (0.864, 0.691)
    assert "EN 1011-1" in found.convention
    assert "American" in found.convention


def test_thin_sheet_is_said_to_be_outside_of_the_structural_code() -> None:
    assert "D1.3" in fillets.least_leg(Fraction(1, 16)).warnings[0]
    assert not fillets.least_leg(Fraction(3, 16)).warnings


def test_the_cyclic_floor_on_thin_metal_is_for_an_engineer() -> None:
    rule = fillets.least_leg(Fraction(1, 8), cyclic=True)
    assert rule.least == Fraction(3, 16)
    assert "engineer" in rule.warnings[0]


def test_a_watch_shorter_than_the_rule_is_refused() -> None:
    assert "60 minutes at least; 30 is shorter" in str(hot_work.watch_too_short(30, "51B-2019"))
    assert hot_work.watch_too_short(60, "51B-2019") is None
    with pytest.raises(QuantityError):
        hot_work.watch_too_short(60, "of our own")


@pytest.mark.parametrize(
    ("percent", "says"), [({}, "carbon"), ({"C": 0.2, "Xx": 1}, "Xx"), ({"C": -1.0}, "0 to 100")]
)
def test_an_analysis_rejects(percent: dict[str, float], says: str) -> None:
    with pytest.raises(QuantityError, match=says):
        steel_chemistry.carbon_equivalent(percent)


def test_a_carbon_equivalent_warns_and_never_approves() -> None:
    assert not steel_chemistry.hardening_band(0.30).warns
    assert steel_chemistry.hardening_band(0.40).warns
    assert "may still crack" in steel_chemistry.hardening_band(0.30).words
    assert "approves nothing" in weld_strength.only_an_estimate()
