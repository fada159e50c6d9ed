"""What the pure modules refuse, in the user's words."""

from shop.engineering.words import Words


class QuantityError(ValueError):
    """A text that is no measurement, or could be more than one."""

    def __init__(self, message: Words, meant: tuple[str, ...] = ()) -> None:
        super().__init__(str(message))
        self.message = message
        self.meant = meant


class UnitMissingError(QuantityError):
    """A number without a unit where nothing says which is meant."""


class LimitsError(QuantityError):
    """A text that is no limit, or one that contradicts itself."""


class DecisionError(QuantityError):
    """A reading that cannot be judged: another quantity than the limit, or beyond the instrument."""


class GeometryError(QuantityError):
    """Points or distances out of which no position can be worked out."""
