"""An instrument's row as the figures that a decision takes: resolution, permissible error, uncertainty."""

from fractions import Fraction

from django.utils.translation import gettext as _

from shop.engineering.decision.uncertainty import InstrumentData, parse_permissible
from shop.engineering.quantities import Dimension, Quantity, QuantityError, parse_quantity
from shop.models import Calibration, Instrument, InstrumentKind

MEASURES: dict[str, frozenset[Dimension]] = {
    InstrumentKind.TAPE: frozenset({Dimension.LENGTH}),
    InstrumentKind.STEEL_RULE: frozenset({Dimension.LENGTH}),
    InstrumentKind.CALIPER: frozenset({Dimension.LENGTH}),
    InstrumentKind.LEVEL: frozenset({Dimension.ANGLE}),
    InstrumentKind.ANGLE_GAUGE: frozenset({Dimension.ANGLE}),
    InstrumentKind.TORQUE_WRENCH_CLICK: frozenset({Dimension.TORQUE}),
    InstrumentKind.TORQUE_WRENCH_DIAL: frozenset({Dimension.TORQUE}),
    InstrumentKind.ANGLE_METER: frozenset({Dimension.ANGLE}),
    InstrumentKind.PRESSURE_GAUGE: frozenset({Dimension.PRESSURE}),
    InstrumentKind.SCALE: frozenset({Dimension.MASS, Dimension.FORCE}),
    InstrumentKind.FEELER_GAUGE: frozenset({Dimension.LENGTH}),
    InstrumentKind.DEPTH_GAUGE: frozenset({Dimension.LENGTH}),
    InstrumentKind.TRAM_GAUGE: frozenset({Dimension.LENGTH}),
    InstrumentKind.THICKNESS_GAUGE: frozenset({Dimension.LENGTH}),
}


class InstrumentFigureError(ValueError):
    """A figure of an instrument cannot be understood, so nothing can be decided with it."""

    def __init__(self, instrument: Instrument, field: str, fault: QuantityError | str) -> None:
        model = Calibration if field == "expanded_uncertainty" else Instrument
        label = getattr(model._meta.get_field(field), "verbose_name", field)
        said = fault.message.translated(_) if isinstance(fault, QuantityError) else fault
        self.field, self.message = field, said
        super().__init__(f"{instrument.code}, {label}: {said}")


def measures(kind: str) -> frozenset[Dimension]:
    """What a kind of instrument measures."""
    return MEASURES[kind]


def instrument_data(instrument: Instrument, calibration: Calibration | None) -> InstrumentData:
    """The figures of an instrument as its certificate and its last calibration write them.

    Raises:
        InstrumentFigureError: a figure cannot be understood or is not of what the instrument measures.
    """
    resolution = _figure(instrument, "resolution", instrument.resolution)
    error, fraction = _permissible(instrument, resolution)
    return InstrumentData(
        code=instrument.code,
        kind=instrument.kind,
        dimension=resolution.dimension,
        resolution=resolution,
        permissible_error=error,
        permissible_fraction=fraction,
        calibration_u=_calibration_u(instrument, calibration, resolution.dimension),
        range_low=_optional(instrument, "range_low", resolution.dimension),
        range_high=_optional(instrument, "range_high", resolution.dimension),
    )


def _figure(instrument: Instrument, field: str, text: str) -> Quantity:
    try:
        found = parse_quantity(text, default_unit=instrument.unit)
    except QuantityError as fault:
        raise InstrumentFigureError(instrument, field, fault) from fault
    if found.dimension not in measures(instrument.kind):
        message = _("“%(text)s” is nothing that a %(kind)s measures")
        parts = {"text": text, "kind": instrument.get_kind_display()}
        raise InstrumentFigureError(instrument, field, message % parts)
    return found


def _optional(instrument: Instrument, field: str, dimension: Dimension) -> Quantity | None:
    text = str(getattr(instrument, field))
    if not text.strip():
        return None
    found = _figure(instrument, field, text)
    _require_alike(instrument, field, found, dimension)
    return found


def _require_alike(instrument: Instrument, field: str, found: Quantity, dimension: Dimension) -> None:
    if found.dimension != dimension:
        message = _("is not of the same kind as the resolution")
        raise InstrumentFigureError(instrument, field, message)


def _permissible(instrument: Instrument, resolution: Quantity) -> tuple[Quantity | None, Fraction | None]:
    """The permissible error as a quantity, or as a fraction of the reading where it is a percentage."""
    try:
        error, fraction = parse_permissible(instrument.permissible_error, default_unit=instrument.unit)
    except QuantityError as fault:
        raise InstrumentFigureError(instrument, "permissible_error", fault) from fault
    if error is not None:
        _require_alike(instrument, "permissible_error", error, resolution.dimension)
    return error, fraction


def _calibration_u(
    instrument: Instrument, calibration: Calibration | None, dimension: Dimension
) -> Quantity | None:
    text = calibration.expanded_uncertainty if calibration else ""
    if not text.strip():
        return None
    try:
        found, _fraction = parse_permissible(text, default_unit=instrument.unit)
    except QuantityError as fault:
        raise InstrumentFigureError(instrument, "expanded_uncertainty", fault) from fault
    if found is None:
        message = _("must be a quantity, not a percentage")
        raise InstrumentFigureError(instrument, "expanded_uncertainty", message)
    _require_alike(instrument, "expanded_uncertainty", found, dimension)
    return found
