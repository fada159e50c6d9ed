"""Which limits the shop's instruments can prove: the limit, the best instrument and what could are named."""

import datetime as dt

import pytest

from jobs.procedures.bringing_in import check_procedure
from shop.models import Instrument
from tests.factories import DAY, NOON, CalibrationFactory, InstrumentFactory
from tests.jobs.procedure_texts import PROCEDURE, changed, line_of

pytestmark = pytest.mark.django_db

FIGURES = {
    "tape": ("in", "1/32 in", "±1/32 in"),
    "steel_rule": ("in", "1/64 in", "±0.005 in"),
    "angle_gauge": ("°", "0.05°", "±0.1°"),
    "torque_wrench_click": ("lbf·ft", "0.5 lbf·ft", "±4 %"),
    "torque_wrench_dial": ("lbf·ft", "0.1 lbf·ft", "±1 %"),
    "angle_meter": ("°", "1°", "±2°"),
}
BENCH = {"tape": "TP-1", "angle_gauge": "AG-1", "torque_wrench_dial": "TD-1", "angle_meter": "AM-1"}


def instrument(kind: str, code: str, **fields: str) -> Instrument:
    unit, resolution, error = FIGURES[kind]
    figures = {"unit": unit, "resolution": resolution, "permissible_error": error, **fields}
    row: Instrument = InstrumentFactory(kind=kind, code=code, **figures)
    CalibrationFactory(instrument=row)
    return row


@pytest.fixture
def bench() -> None:
    for kind, code in BENCH.items():
        instrument(kind, code)


def told(content: bytes = PROCEDURE) -> dict[str, tuple[int | None, str]]:
    """The remarks on limits: by name, the line and the message."""
    warnings = check_procedure(content, now=NOON).warnings
    return {w.name: (w.line, w.message) for w in warnings if w.name != "procedure kit"}


@pytest.mark.usefixtures("bench")
def test_limit_is_named_with_the_best_instrument_and_what_could() -> None:
    instrument("torque_wrench_click", "TW-1")
    instrument("torque_wrench_click", "TW-2", permissible_error="±6 %")
    remarks = told()
    line, message = remarks["A50.1 limit"]
    assert line == line_of("limit: 65 +5 −0 lbf·ft")
    assert message.startswith(
        "“65 +5 −0 lbf·ft” cannot be proved with a click torque wrench of this shop. TW-1 "
    )
    assert "TW-2" not in message
    assert message.endswith("These could: indicating torque wrench TD-1.")
    assert set(remarks) == {"A50.1 limit"}


@pytest.mark.usefixtures("bench")
def test_nothing_is_told_where_all_can_be_proved() -> None:
    instrument("torque_wrench_click", "TW-1", permissible_error="±0.5 %", resolution="0.1 lbf·ft")
    assert told() == {}


@pytest.mark.usefixtures("bench")
def test_narrow_length_needs_a_finer_kind() -> None:
    instrument("torque_wrench_click", "TW-1", permissible_error="±0.5 %", resolution="0.1 lbf·ft")
    content = changed("limit: 29 1/2 ±1/16 in", "limit: 29 1/2 ±1/64 in")
    _line, message = told(content)["T10.1 limit"]
    assert "TP-1 can never prove" in message
    assert "No other instrument in calibration here could; look for one that can:" in message
    instrument("steel_rule", "SR-1")
    _line, message = told(content)["T10.1 limit"]
    assert message.endswith("These could: steel rule SR-1.")


@pytest.mark.usefixtures("bench")
def test_what_left_and_right_may_differ_by_is_judged_by_two_readings() -> None:
    instrument("torque_wrench_click", "TW-1", permissible_error="±0.5 %", resolution="0.1 lbf·ft")
    remarks = told(changed("equal: ≤ 1/8 in", "equal: ≤ 1/64 in"))
    line, message = remarks["T10.2 equal"]
    assert line == line_of("equal: ")
    assert "“≤ 1/64 in” cannot be proved with a tape of this shop" in message


@pytest.mark.usefixtures("bench")
def test_instrument_that_does_not_reach_left_and_right_is_not_named() -> None:
    instrument("torque_wrench_click", "TW-1", permissible_error="±0.5 %", resolution="0.1 lbf·ft")
    instrument("steel_rule", "SR-1", resolution="0.001 in", permissible_error="±0.001 in", range_high="24 in")
    content = changed("equal: ≤ 1/8 in", "equal: ≤ 1/64 in")
    assert "SR-1" not in told(content)["T10.2 equal"][1]
    Instrument.objects.filter(code="SR-1").update(range_high="48 in")
    assert told(content)["T10.2 equal"][1].endswith("These could: steel rule SR-1.")


@pytest.mark.usefixtures("bench")
def test_kind_that_is_not_in_calibration_is_told() -> None:
    overdue: Instrument = InstrumentFactory(kind="torque_wrench_click", code="TW-9")
    CalibrationFactory(
        instrument=overdue, done_on=DAY - dt.timedelta(days=400), due_on=DAY - dt.timedelta(days=1)
    )
    _line, message = told()["A50.1 limit"]
    assert message == (
        "“65 +5 −0 lbf·ft”: there is no click torque wrench in calibration here."
        " These could: indicating torque wrench TD-1."
    )


@pytest.mark.usefixtures("bench")
def test_witness_with_its_own_kind_of_instrument_is_judged_too() -> None:
    instrument("torque_wrench_click", "TW-1", permissible_error="±0.5 %", resolution="0.1 lbf·ft")
    content = changed("of: T10.2\n", "of: T10.2\n        instrument: steel_rule\n")
    line, message = told(content)["T10.4 instrument"]
    assert line == line_of("instrument: steel_rule", content)
    assert "no steel rule in calibration" in message


def test_instrument_whose_figures_cannot_be_read_is_named() -> None:
    instrument("tape", "TP-7", resolution="fine")
    warnings = [w.message for w in check_procedure(PROCEDURE, now=NOON).warnings]
    assert any(message.startswith("TP-7, resolution: ") for message in warnings)
