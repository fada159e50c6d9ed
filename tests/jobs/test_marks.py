"""Marks at the tablet: read, judged together, hidden from the second person, and asked for by the cut."""

import pytest

from jobs.models import Nonconformance
from shop.entries import Answer
from shop.models import SignedHow
from tests.jobs.bay import Bay
from tests.jobs.desk import Desk, give_pins
from tests.jobs.marked_route import BURNED, MARKED, STANDS
from tests.jobs.small_route import SmallRoute, assert_accepted


@pytest.fixture
def route(db: None, monkeypatch: pytest.MonkeyPatch) -> SmallRoute:
    """At the marks, the line scribed."""
    monkeypatch.setattr("tests.jobs.small_route.PROCEDURE", MARKED)
    found = SmallRoute()
    give_pins(found)
    found.up_to("C10")
    assert_accepted(found.send("start", "C10", "fenn"))
    return found


def read(route: SmallRoute, given: dict[str, str], **changed: str) -> Answer:
    return route.send("reading", "C10", "fenn", checkpoint="C10.1", **{**given, **changed})


def witness(route: SmallRoute, given: dict[str, str], **changed: str) -> Answer:
    given = {**given, **changed}
    return route.send("witness", "C10", "moss", SignedHow.PIN, checkpoint="C10.2", **given)


def test_a_burned_inch_is_named_and_the_cut_waits_until_it_is_marked_again(route: SmallRoute) -> None:
    answer = read(route, BURNED)
    assert answer.data["verdict"] == "does_not_conform"
    assert answer.data["explanation"] == (
        "It is 1 in too far forward (±1/16 in); ±1/16 in is allowed. From A: burned an inch? Mark it again."
    )
    refused = route.send("start", "C20", "fenn")
    told = " ".join(str(reason["text"]) for reason in refused.data["reasons"])
    assert "C10.1 Cut line does not conform" in told
    number = str(Nonconformance.objects.get().number)
    decided = {"nonconformance": number, "disposition": "rework", "reason": "Mark it again"}
    assert_accepted(route.send("disposition", "C10", "lind", SignedHow.PIN, **decided))
    assert read(route, STANDS).data["verdict"] == "conforms"
    assert witness(route, STANDS).data["verdict"] == "conforms"
    assert_accepted(route.send("finish", "C10", "fenn", SignedHow.PIN))
    assert_accepted(route.send("start", "C20", "fenn"))


def test_what_was_read_is_hidden_until_the_second_person_has_read(route: SmallRoute) -> None:
    assert read(route, STANDS, r3="69 17/32").data["verdict"] == "conforms"
    assert "69 17/32" not in Bay(route).words("C10")
    assert witness(route, STANDS).data["verdict"] == "conforms"
    assert "69 17/32" in Bay(route).words("C10")


def test_a_desk_sees_the_mark_drawn_and_its_readings_as_soon_as_they_may_be_told(route: SmallRoute) -> None:
    lead = Desk(route, "lind")
    read(route, STANDS, r3="69 17/32")
    page = lead.page(f"/jobs/{route.job.number}/C10/")
    assert 'class="layout-drawing"' in page
    assert "should read" not in page
    witness(route, STANDS)
    page = lead.page(f"/jobs/{route.job.number}/C10/")
    assert "should read" in page


def test_the_page_of_the_procedure_draws_its_views_with_all_marks(route: SmallRoute) -> None:
    revision = route.job.procedure_revision
    page = Desk(route, "lind").page(f"/procedures/{revision.procedure.code}/{revision.revision}/")
    assert page.count('class="layout-drawing"') == 1
    assert 'aria-label="Left rail, outer face' in page


def test_a_disagreement_is_shown_when_both_have_read(route: SmallRoute) -> None:
    assert_accepted(read(route, STANDS))
    answer = witness(route, STANDS, r3="69 11/16")
    assert answer.data["verdict"] == "does_not_conform"
    assert (
        "From B to the lower end: The two readings differ by 3/16 in, more than 1/8 in."
        in answer.data["explanation"]
    )
    page = Bay(route).words("C10")
    assert "69 11/16" in page
    assert "The figure is hidden" not in page


def test_readings_that_contradict_each_other_are_read_again(route: SmallRoute) -> None:
    answer = read(route, STANDS, r3="96 1/2")
    assert answer.data["verdict"] == "too_close"
    assert answer.data["explanation"].endswith("Reading from B: digits transposed? Read it again.")
    assert read(route, STANDS).data["verdict"] == "conforms"


def test_faults_stand_beside_their_readings_and_what_was_typed_is_kept(route: SmallRoute) -> None:
    given = {**STANDS, "r2": "", "r3": "69 1/0"}
    page = Bay(route).enter("reading", "C10", checkpoint="C10.1", **given).content.decode()
    assert page.count("field-error") >= 2
    assert 'value="69 1/0"' in page
    assert 'value="11 17/32"' in page


def test_the_page_draws_the_mark_and_asks_for_each_reading(route: SmallRoute) -> None:
    page = Bay(route).page("C10")
    assert page.count('name="p_r4"') == 2
    assert "4. From Q to the upper end" in page
    assert "mirrored for the other side" in page
    assert "F: the tape would run along the line" in page
    assert "11 17/32" not in page.partition('id="C10.1"')[2].partition("</section>")[0]


def test_a_metric_tape_reads_the_same_mark(route: SmallRoute) -> None:
    from shop.models import Instrument

    Instrument.objects.filter(code="TP-1").update(
        unit="mm", resolution="1 mm", permissible_error="±0.8 mm", range_low="0 mm", range_high="8000 mm"
    )
    millimetres = {
        "r1": "749.3 mm",
        "r2": "749.3 mm",
        "r3": "1765.3 mm",
        "r4": "292.7 mm",
        "instrument": "TP-1",
    }
    assert read(route, millimetres).data["verdict"] == "conforms"
