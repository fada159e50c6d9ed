"""One parser and one formatter for all quantities: the names that the rest of the application uses."""

from shop.engineering.errors import QuantityError, UnitMissingError
from shop.engineering.quantities.measures import CANONICAL, UNITS, Dimension, Quantity, from_quanta
from shop.engineering.quantities.reader import parse_quantity
from shop.engineering.quantities.spellings import find_unit
from shop.engineering.quantities.writer import (
    FractionParts,
    System,
    both,
    format_feet,
    format_minutes,
    format_quantity,
    fraction_parts,
    natural,
    rounded,
)

__all__ = [
    "CANONICAL",
    "UNITS",
    "Dimension",
    "FractionParts",
    "Quantity",
    "QuantityError",
    "System",
    "UnitMissingError",
    "both",
    "find_unit",
    "format_feet",
    "format_minutes",
    "format_quantity",
    "fraction_parts",
    "from_quanta",
    "natural",
    "parse_quantity",
    "rounded",
]
