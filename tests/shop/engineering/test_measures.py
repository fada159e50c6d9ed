"""Units against a second opinion."""

import pint
import pytest

from shop.engineering.quantities.measures import UNITS, Dimension, Quantity, from_quanta

REGISTRY = pint.UnitRegistry()
THEIRS = {
    "in": "inch",
    "ft": "foot",
    "thou": "thou",
    "mm": "millimeter",
    "cm": "centimeter",
    "m": "meter",
    "µm": "micrometer",
    "lbf·ft": "force_pound * foot",
    "lbf·in": "force_pound * inch",
    "N·m": "newton * meter",
    "kgf·m": "force_kilogram * meter",
    "°": "degree",
    "lb": "pound",
    "oz": "ounce",
    "kg": "kilogram",
    "g": "gram",
    "mg": "milligram",
    "psi": "psi",
    "ksi": "ksi",
    "Pa": "pascal",
    "kPa": "kilopascal",
    "MPa": "megapascal",
    "bar": "bar",
    "lbf/in": "force_pound / inch",
    "N/mm": "newton / millimeter",
    "N/m": "newton / meter",
    "kgf/mm": "force_kilogram / millimeter",
    "lbf": "force_pound",
    "N": "newton",
    "kN": "kilonewton",
    "kgf": "force_kilogram",
    "s": "second",
    "min": "minute",
    "h": "hour",
    "ft/min": "foot / minute",
    "in/min": "inch / minute",
    "m/min": "meter / minute",
    "mm/min": "millimeter / minute",
    "%": "percent",
}
QUANTUM = {
    Dimension.LENGTH: "picometer",
    Dimension.TORQUE: "micronewton * meter",
    Dimension.ANGLE: "milliarcsecond",
    Dimension.MASS: "milligram",
    Dimension.PRESSURE: "millipascal",
    Dimension.RATE: "millinewton / meter",
    Dimension.FORCE: "micronewton",
    Dimension.TIME: "millisecond",
    Dimension.SPEED: "micrometer / minute",
    Dimension.RATIO: "ppm",
}


@pytest.mark.parametrize("unit", UNITS)
def test_every_factor_agrees_with_another_library(unit: str) -> None:
    dimension, quanta = UNITS[unit]
    theirs = REGISTRY.Quantity(1, THEIRS[unit]).to(QUANTUM[dimension]).magnitude
    assert float(quanta) == pytest.approx(theirs, rel=1e-12)


@pytest.mark.parametrize("unit", UNITS)
def test_quanta_invert(unit: str) -> None:
    quantity = from_quanta(123_456_789, unit)
    assert quantity.canonical == quantity.quanta == 123_456_789
    assert from_quanta(quantity.quanta, unit) == quantity


def test_every_dimension_has_a_name() -> None:
    labels = {Quantity(from_quanta(0, unit).value, unit).dimension.label for unit in UNITS}
    assert len(labels) == len(Dimension)
