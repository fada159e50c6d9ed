"""An instrument's row as figures for a decision."""

from fractions import Fraction

import pytest

from shop.engineering.quantities import Dimension
from shop.instrument_data import MEASURES, InstrumentFigureError, instrument_data
from shop.instrument_forms import CalibrationAddForm
from shop.models import Calibration, Instrument, InstrumentKind
from tests.factories import InstrumentFactory


def tape(**fields: str) -> Instrument:
    figures = {
        "code": "TP-1",
        "kind": InstrumentKind.TAPE,
        "unit": "in",
        "resolution": "1/32 in",
        "permissible_error": "±1/32 in",
    }
    return Instrument(**{**figures, **fields})


def test_every_kind_measures_something() -> None:
    assert set(MEASURES) == set(InstrumentKind.values)
    assert all(MEASURES.values())


def test_figures_are_exact() -> None:
    data = instrument_data(
        tape(range_low="0", range_high="25 ft"), Calibration(expanded_uncertainty="0.1 mm")
    )
    assert (data.code, data.kind, data.dimension) == ("TP-1", "tape", Dimension.LENGTH)
    assert data.resolution.value == Fraction(1, 32)
    assert data.permissible_error is not None
    assert data.permissible_error.value == Fraction(1, 32)
    assert data.permissible_fraction is None
    assert data.calibration_u is not None
    assert data.calibration_u.canonical == 100_000_000
    assert data.range_high is not None
    assert data.range_high.to("in").value == 300


@pytest.mark.parametrize("text", ["±4 %", "4%", "+/-4 %"])
def test_percentage_is_a_fraction_of_the_reading(text: str) -> None:
    wrench = tape(
        kind=InstrumentKind.TORQUE_WRENCH_CLICK, unit="lbf·ft", resolution="1 lbf·ft", permissible_error=text
    )
    data = instrument_data(wrench, None)
    assert data.permissible_error is None
    assert data.permissible_fraction == Fraction(4, 100)
    assert data.calibration_u is None
    assert data.range_low is None


def test_bare_number_takes_the_instruments_unit() -> None:
    assert instrument_data(tape(resolution="1/16"), None).resolution.unit == "in"


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"resolution": "fine"}, "TP-1, resolution: "),
        ({"resolution": ""}, "TP-1, resolution: "),
        ({"resolution": "1 lbf·ft"}, "TP-1, resolution: “1 lbf·ft” is nothing that a tape measures"),
        ({"permissible_error": "a bit"}, "TP-1, permissible error: "),
        ({"permissible_error": "±1 lbf·ft"}, "TP-1, permissible error: is not of the same kind"),
        ({"permissible_error": "-1/32 in"}, "TP-1, permissible error: "),
        ({"range_high": "far"}, "TP-1, to: "),
    ],
)
def test_figure_that_cannot_be_understood_is_named(fields: dict[str, str], said: str) -> None:
    with pytest.raises(InstrumentFigureError) as caught:
        instrument_data(tape(**fields), None)
    assert str(caught.value).startswith(said)


@pytest.mark.parametrize("text", ["unknown", "4 %", "1 lbf·ft"])
def test_calibration_that_cannot_be_understood_is_named(text: str) -> None:
    with pytest.raises(InstrumentFigureError, match="TP-1, expanded uncertainty"):
        instrument_data(tape(), Calibration(expanded_uncertainty=text))


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("kind", "figures", "fault"),
    [
        ("tape", {"unit": "in", "resolution": "1/32 in", "permissible_error": "1/32 in"}, ""),
        (
            "torque_wrench_click",
            {"unit": "N·m", "resolution": "1 N·m", "permissible_error": "4 %"},
            "Only a tape, a rule or a tram gauge",
        ),
    ],
)
def test_only_what_a_rule_can_be_laid_beside_does_without_a_certificate(
    kind: str, figures: dict[str, str], fault: str
) -> None:
    row = InstrumentFactory(kind=kind, **figures)
    days = {"done_on": "2030-01-02", "due_on": "2030-06-02", "way": "reference_rule", "passed": "on"}
    form = CalibrationAddForm(days, instance=Calibration(instrument=row))
    assert form.is_valid() is not bool(fault)
    assert fault in str(form.errors.get("way", ""))
