"""Holes, drills, edges and speeds against ASME B18.2.8, ISO 273, ASME B94.11M, AISC 360 and handbooks."""

import re
from collections.abc import Callable
from fractions import Fraction

import pytest

from shop.engineering.holes.clearance import (
    Fit,
    clearance_drill,
    clearance_hole_mm,
    clearance_limits_in,
    old_clearance_hole_mm,
    percent_thread,
    tap_drill,
    tap_drill_mm,
)
from shop.engineering.holes.drills import find_drill, saw_size_mm, smallest_not_below
from shop.engineering.holes.edges import least_edge_distance, thumb_rule
from shop.engineering.holes.spindle import (
    Work,
    cutting_speed,
    drilling_time_s,
    feed_in_per_turn,
    hole_saw_rpm,
    rpm,
    rpm_metric,
    surface_speed_ft_min,
    surface_speed_m_min,
)
from shop.engineering.quantities.figures import mixed_text, read_number
from tests.reference.rows import Row, rows

HOLES, SPEEDS = "holes_drills_edges.csv", "cutting_speed_feed.csv"
SERIES = {"fine": Fit.CLOSE, "medium": Fit.NORMAL, "coarse": Fit.LOOSE, "free": Fit.LOOSE}


def given(row: Row) -> dict[str, str]:
    """The inputs by name; a part without one by its first word."""
    found: dict[str, str] = {}
    for part in row.inputs.split("; "):
        name, _is, value = part.partition("=")
        found[name if value else part.split()[0]] = value or part
    return found


def inch(text: str) -> Fraction:
    return read_number(text.removesuffix("in").strip().replace("-", " "))


def number(text: str) -> float:
    return float(re.match(r"[\d.]+", text)[0])  # type: ignore[index]


def thread(text: str) -> tuple[Fraction, Fraction]:
    size, per_inch = text.rsplit("-", 1)
    return (Fraction("0.06") if size == "0" else inch(size)), Fraction(per_inch)


def drill_size(text: str) -> Fraction:
    return Fraction(text.removesuffix(" in")) if text.startswith("0.") else find_drill(text).diameter_in


def clearance(row: Row) -> object:
    values = given(row)
    return clearance_drill(inch(values["bolt d"]), Fit(values["fit"])).name


def limits(row: Row) -> object:
    fit = Fit(row.quantity.partition("-")[0])
    low, high = clearance_limits_in(inch(given(row)["bolt d"]), fit)
    return f"{float(low):.3f} to {float(high):.3f}"


def metric(row: Row) -> object:
    size, series = re.fullmatch(r"M(\d+); series=(\w+)", row.inputs).groups()  # type: ignore[union-attr]
    table = old_clearance_hole_mm if "BS 4186" in row.quantity else clearance_hole_mm
    return table(Fraction(size), SERIES[series])


def tapped(row: Row) -> object:
    found = tap_drill(*thread(given(row)["thread"]))
    return f"{found.name} ({float(found.diameter_in):.4f}"[: len(row.expected) - 1] + ")"


def tapped_mm(row: Row) -> object:
    major, pitch = given(row)["thread"].removeprefix("M").split("x")
    return tap_drill_mm(Fraction(major), Fraction(pitch)).diameter_mm


def share(row: Row) -> object:
    values = given(row)
    return percent_thread(*thread(values["thread"]), drill_size(values["drill"]))


def choice(row: Row) -> object:
    if row.inputs.startswith("need"):
        found = smallest_not_below(Fraction(row.inputs.split()[1]))
        size = float(found.diameter_in)
        return (
            f"{found.name} ({size:.4f})" if f"{size:.4f})" in row.expected else f"{found.name} ({size:.3f})"
        )
    one, other = (find_drill(name) for name in row.inputs.split(" against "))
    assert one < other
    return f"{one.name} ({float(one.diameter_in):.3f}) < {other.name} ({float(other.diameter_in):.3f})"


def edge(row: Row) -> object:
    size, unit = re.search(r"bolt d=([\d/-]+) (in|mm)|bolt d=(\d+) mm", row.inputs).group(1, 2)  # type: ignore[union-attr]
    sheared = "sheared" in row.quantity.lower()
    metric_bolt = unit == "mm"
    bolt = Fraction(size) if metric_bolt else inch(size)
    least = least_edge_distance(bolt, metric=metric_bolt, sheared=sheared).least
    return least if metric_bolt else mixed_text(least).replace(" ", "-")


def edge_verdict(row: Row) -> object:
    distance, bolt = re.search(r"([\d.]+) in from edge, (\S+) in bolt", row.inputs).groups()  # type: ignore[union-attr]
    rule = least_edge_distance(inch(bolt))
    return "holds" if rule.holds(Fraction(distance)) else "below AISC minimum"


def thumb(row: Row) -> object:
    return " and ".join(str(value) for value in thumb_rule(Fraction(number(given(row)["d"]))))


def saw(row: Row) -> object:
    return str(saw_size_mm(row.inputs))


GROUPS: dict[str, Callable[[Row], object]] = {
    "clearance inch": clearance,
    "clearance inch limits": limits,
    "clearance metric": metric,
    "clearance metric other": metric,
    "tap drill inch": tapped,
    "percent thread": share,
    "tap drill metric": tapped_mm,
    "drill size": lambda row: drill_size(given(row)["drill"]),
    "drill choice": choice,
    "edge distance": edge,
    "edge check": edge_verdict,
    "edge rule": thumb,
    "hole saw size": saw,
}


def check(row: Row, found: object) -> None:
    if isinstance(found, float | int | Fraction):
        tolerance = "abs:0" if row.tolerance == "exact" else row.tolerance
        assert Row({**row.fields, "tolerance": tolerance}).accepts(found), found
    else:
        assert found == row.expected


@pytest.mark.parametrize("row", rows(HOLES), ids=repr)
def test_a_published_hole(row: Row) -> None:
    check(row, GROUPS[row.group](row))


def turns(row: Row) -> float:
    values = given(row)
    speed, size = number(values["V"]), number(values["D"])
    return rpm_metric(speed, size) if "m/min" in row.inputs else rpm(speed, size)


def surface(row: Row) -> float:
    values = given(row)
    rate = surface_speed_m_min if "mm" in values["D"] else surface_speed_ft_min
    return rate(number(values["N"]), number(values["D"]))


def chart(row: Row) -> float:
    speed, size = re.search(r"([\d.]+) ft/min; D=([\d.]+)", row.inputs).groups()  # type: ignore[union-attr]
    return rpm(float(speed), float(size))


WORKS = {
    "carbon steel 1006": Work.MILD_STEEL,
    "carbon steel 1030-1050, 125": Work.MEDIUM_CARBON,
    "carbon steel 1030-1050, 275": Work.QUENCHED,
    "medium carbon": Work.MEDIUM_CARBON,
    "stainless 304": Work.STAINLESS,
    "stainless 303": Work.FREE_STAINLESS,
    "aluminium": Work.ALUMINIUM,
}


def work_of(row: Row) -> Work:
    return next(work for words, work in WORKS.items() if row.inputs.startswith(words))


def hand_range(row: Row) -> str:
    speed = cutting_speed(work_of(row))
    return f"{speed.hand_low_ft_min} to {speed.hand_high_ft_min}"


def feed(row: Row) -> str:
    size = {"up": 0.1, "1/4": 0.4, "1": 1.2}[row.inputs.removeprefix("drill ").split()[0]]
    return "{:.3f} to {:.3f}".format(*feed_in_per_turn(size))


def saw_turns(row: Row) -> float:
    if row.inputs.startswith("V="):
        return turns(row)
    size, work = row.inputs.split("; ")
    kinds = {"mild steel": Work.MILD_STEEL, "aluminium": Work.ALUMINIUM}
    return float(hole_saw_rpm(inch(size), kinds.get(work, Work.STAINLESS)))


def fed(row: Row) -> float:
    values = given(row)
    if "depth" in values:
        return drilling_time_s(*(number(values[name]) for name in ("depth", "D", "N", "f")))
    return number(values["N"]) * number(values["f"])


SPEED_GROUPS: dict[str, Callable[[Row], object]] = {
    "rpm inch": turns,
    "rpm metric": turns,
    "surface speed": surface,
    "rpm chart HSS drill": chart,
    "cutting speed HSS drill": lambda row: cutting_speed(work_of(row)).start_ft_min,
    "cutting speed range": hand_range,
    "feed": feed,
    "hole saw rpm": saw_turns,
    "spot-weld cutter": turns,
    "feed rate": fed,
}


@pytest.mark.parametrize("row", rows(SPEEDS), ids=repr)
def test_a_published_speed(row: Row) -> None:
    exact = row.tolerance.startswith("exact")
    check(Row({**row.fields, "tolerance": "exact"}) if exact else row, SPEED_GROUPS[row.group](row))
