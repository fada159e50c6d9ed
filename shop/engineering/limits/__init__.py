"""Limits: what they are and how they are read, under the names that the application uses."""

from shop.engineering.errors import LimitsError
from shop.engineering.limits.reader import DefaultTolerance, parse_limits
from shop.engineering.limits.zone import Limits

__all__ = ["DefaultTolerance", "Limits", "LimitsError", "parse_limits"]
