"""Invented instruments of an invented shop."""

from fractions import Fraction

from shop.engineering.decision import InstrumentData
from shop.engineering.quantities import Dimension, parse_quantity

TAPE = InstrumentData(
    code="TP-01",
    kind="tape",
    dimension=Dimension.LENGTH,
    resolution=parse_quantity("1/32 in"),
    permissible_error=parse_quantity("1/32 in"),
    range_low=parse_quantity("0 in"),
    range_high=parse_quantity("16 ft"),
)
CALIPER = InstrumentData(
    code="CA-01",
    kind="caliper",
    dimension=Dimension.LENGTH,
    resolution=parse_quantity("0.001 in"),
    permissible_error=parse_quantity("0.001 in"),
    calibration_u=parse_quantity("0.0005 in"),
    range_low=parse_quantity("0 in"),
    range_high=parse_quantity("6 in"),
)
CLICK_WRENCH = InstrumentData(
    code="TW-01",
    kind="torque_wrench_click",
    dimension=Dimension.TORQUE,
    resolution=parse_quantity("1 lbf·ft"),
    permissible_fraction=Fraction(4, 100),
    calibration_u=parse_quantity("0.8 lbf·ft"),
    range_low=parse_quantity("20 lbf·ft"),
    range_high=parse_quantity("150 lbf·ft"),
)
DIAL_WRENCH = InstrumentData(
    code="TW-02",
    kind="torque_wrench_dial",
    dimension=Dimension.TORQUE,
    resolution=parse_quantity("0.5 N·m"),
    permissible_error=parse_quantity("0.5 N·m"),
    permissible_fraction=Fraction(1, 100),
    range_low=parse_quantity("10 N·m"),
    range_high=parse_quantity("200 N·m"),
)
ANGLE_GAUGE = InstrumentData(
    code="AG-01",
    kind="angle_gauge",
    dimension=Dimension.ANGLE,
    resolution=parse_quantity("0.1°"),
    permissible_error=parse_quantity("0.1°"),
    range_low=parse_quantity("-90°"),
    range_high=parse_quantity("90°"),
)
ANGLE_METER = InstrumentData(
    code="AM-01",
    kind="angle_meter",
    dimension=Dimension.ANGLE,
    resolution=parse_quantity("1°"),
    permissible_error=parse_quantity("2°"),
)
GO_BY = InstrumentData(
    code="GB-01",
    kind="gauge",
    dimension=Dimension.LENGTH,
    resolution=parse_quantity("0 mm"),
    permissible_error=parse_quantity("0 mm"),
)
ALL = {i.code: i for i in (TAPE, CALIPER, CLICK_WRENCH, DIAL_WRENCH, ANGLE_GAUGE, ANGLE_METER, GO_BY)}
