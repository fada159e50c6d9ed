"""A person reads figures in their own units; what is judged stays exact."""

from fractions import Fraction

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.html import strip_tags
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.limits import Limits, parse_limits
from shop.engineering.limits.shown import ReadAs, limits_read_as, quantity_read_as
from shop.engineering.quantities import parse_quantity
from shop.models import Person
from tests.jobs.bay import Bay
from tests.jobs.desk import give_pins
from tests.jobs.small_route import SmallRoute, assert_accepted

METRIC, INCH, DECIMAL = ReadAs("metric"), ReadAs("inch"), ReadAs("inch", decimal=True)


@pytest.mark.parametrize(
    ("written", "reader", "shown"),
    [
        ("29 1/2 ±1/16 in", METRIC, "749.3 ±1.5 mm"),
        ("29 1/2 ±1/16 in", INCH, "29 1/2 ±1/16 in"),
        ("29 1/2 ±1/16 in", DECIMAL, "29.500 ±0.062 in"),
        ("≤ 1/8 in", METRIC, "≤ 3.1 mm"),
        ("1127 ±3 mm", INCH, "44 3/8 ±7/64 in"),
        ("40 ±10 % lbf·ft", METRIC, "54.2 +5.4 −5.3 N·m"),
        ("0 ±0.3°", METRIC, "0 ±0.3°"),
        ("≥ 60 min", INCH, "≥ 60 min"),
    ],
)
def test_a_limit_in_the_readers_own_units(written: str, reader: ReadAs, shown: str) -> None:
    assert limits_read_as(parse_limits(written), reader) == shown


def ends(limits: Limits) -> tuple[Fraction, Fraction]:
    assert limits.low is not None
    assert limits.high is not None
    return limits.low.quanta, limits.high.quanta


@given(
    st.integers(16, 4000),
    st.integers(1, 64),
    st.sampled_from(["in", "mm"]),
    st.sampled_from([METRIC, INCH, DECIMAL]),
)
def test_what_fits_what_is_shown_fits_what_is_asked(
    middle: int, around: int, unit: str, reader: ReadAs
) -> None:
    limits = parse_limits(f"{middle / 16} ±{around / 64} {unit}")
    shown = parse_limits(limits_read_as(limits, reader))
    (low, high), (shown_low, shown_high) = ends(limits), ends(shown)
    assert low <= shown_low <= shown_high <= high


def test_a_tablet_shows_figures_as_whoever_has_the_turn_reads_them(route: SmallRoute) -> None:
    route.up_to("C20")
    assert_accepted(route.send("start", "C20", "fenn"))
    assert_accepted(route.read("C20.1"))
    give_pins(route)
    Person.objects.filter(username="fenn").update(units="metric")
    bay = Bay(route)
    page = bay.page("C20")
    assert "749.3" in page
    assert 'name="p_value_unit" value="mm"' in page
    kept = {"checkpoint": "C20.2", "value": "749.3", "value_unit": "mm", "instrument": "TP-1"}
    assert bay.enter("reading", "C20", **kept).status_code == 302
    standing = route.record.find_checkpoint("C20.2")
    assert standing is not None
    assert standing.current is not None
    assert standing.current.verdict == "conforms"
    assert standing.current.readings["value"]["unit"] == "mm"


@pytest.mark.parametrize(
    ("read", "reader", "shown"),
    [
        ("29 1/2 in", METRIC, "749.3 mm"),
        ("29 1/2 in", INCH, "29 1/2 in"),
        ("29 1/2 in", DECIMAL, "29.500 in"),
        ("749.3 mm", INCH, "29 1/2 in"),
        ("0.1 mm", INCH, "0.004 in"),
        ("65 lbf·ft", METRIC, "88.1 N·m"),
        ("120 lbf·in", METRIC, "13.6 N·m"),
        ("−0° 45′", METRIC, "−0.75°"),
    ],
)
def test_a_reading_in_the_readers_own_units(read: str, reader: ReadAs, shown: str) -> None:
    assert quantity_read_as(parse_quantity(read), reader) == shown


def test_whoever_looks_sees_results_in_their_own_units_with_what_was_written(
    route: SmallRoute, client: Client
) -> None:
    route.up_to("C20")
    assert_accepted(route.send("start", "C20", "fenn"))
    assert_accepted(route.read("C20.1"))
    assert_accepted(route.read("C20.2", value="29 1/2"))
    viewer = Person.objects.get(username="fenn")
    client.force_login(viewer)
    address = reverse("jobs:job_operation", args=[route.job.number, "C20"])
    page = seen(client, address)
    assert "29 1/2 in 749.3 mm" in page
    Person.objects.filter(pk=viewer.pk).update(units="metric")
    page = seen(client, address)
    assert "749.3 mm written 29 1/2 in" in page
    assert "749.3 mm = 29 1/2 in" in page  # the numbers behind
    revision = route.job.procedure_revision
    page = seen(client, reverse("jobs:procedure", args=[revision.procedure.code, revision.revision]))
    assert "749.3 ±1.5 mm" in page
    assert "written 29 1/2 ±1/16 in" in page


def seen(client: Client, address: str) -> str:
    """The words of a page, single blanks between them."""
    text = strip_tags(client.get(address).content.decode())
    return " ".join(text.split())
