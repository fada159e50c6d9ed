"""One operation at the desk: every result, the numbers behind it, and what may be recorded there."""

import re

import pytest

from jobs.models import ResultVerdict
from tests.jobs.desk import PIN, Desk, give_pins
from tests.jobs.small_route import SmallRoute, assert_accepted

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _pins(route: SmallRoute) -> None:
    give_pins(route)


def text_of(route: SmallRoute, code: str, who: str = "lind") -> str:
    return " ".join(Desk(route, who).page(f"/jobs/1001/{code}/").split())


def read_the_mark(route: SmallRoute, value: str = "29 1/2") -> None:
    route.up_to("C10")
    route.send("start", "C10", "fenn")
    assert_accepted(route.read("C10.1", "fenn", "turn", value=value))


def test_a_second_reading_leads_to_the_first_wherever_that_stands(route: SmallRoute) -> None:
    assert 'href="/jobs/1001/C10/#C10.1"' in text_of(route, "C10")


def test_a_limit_stands_in_both_units(route: SmallRoute) -> None:
    page = text_of(route, "C20")
    assert "29" in page
    assert "746.2 mm to 752.4 mm" in page


def test_what_has_no_limit_says_so_with_its_unit(route: SmallRoute) -> None:
    assert "recorded without a limit (unit: in)" in text_of(route, "I10")


def test_the_reading_that_waits_for_its_witness_is_shown_to_nobody(route: SmallRoute) -> None:
    read_the_mark(route, "29 17/32")
    for who in ("lind", "moss", "fenn", "ash"):
        page = text_of(route, "C10", who)
        shown = page.split('id="checkpoints"')[1].split('id="finish"')[0]
        assert not re.search(r"\b17\b", shown)
        assert "Fenn has read it." in page
    assert "17/32" not in Desk(route, "lind").page("/jobs/1001/")


def test_a_witness_reads_without_the_first_and_then_both_are_shown(route: SmallRoute) -> None:
    read_the_mark(route)
    witness = Desk(route, "lind")
    assert "Record my own reading" in text_of(route, "C10", "lind")
    assert "Record my own reading" not in text_of(route, "C10", "fenn")
    answer = witness.enter("witness", "C10", checkpoint="C10.2", value="29 1/2", instrument="TP-1", pin=PIN)
    assert answer.status_code == 302
    page = text_of(route, "C10", "fenn")
    assert "has read it." not in page
    assert "What the verdict was made from" in page


def test_a_witness_who_cannot_be_understood_keeps_what_was_typed(route: SmallRoute) -> None:
    read_the_mark(route)
    answer = Desk(route, "lind").enter(
        "witness", "C10", checkpoint="C10.2", value="about 29", instrument="TP-1", pin=PIN
    )
    page = answer.content.decode()
    assert answer.status_code == 422
    assert 'value="about 29"' in page
    assert "p_value_error" in page
    assert '<option value="TP-1" selected>' in page


def test_the_numbers_behind_a_verdict_are_there_for_whoever_asks(route: SmallRoute) -> None:
    route.up_to("W10")
    page = text_of(route, "C20")
    for words in ("Uncertainty U, k = 2", "Guard band", "ISO 14253-1, 95 %, version 1", "TP-1", "Reading"):
        assert words in page


def test_a_superseded_result_stays_and_is_struck(route: SmallRoute) -> None:
    route.up_to("W10")
    assert_accepted(route.read("C20.2", "fenn", "turn", value="29 9/16", reason="Tape had slipped"))
    page = text_of(route, "C20")
    assert 'class="superseded"' in page
    assert "superseded by a later result" in page
    assert "Tape had slipped" in page


def test_a_joint_is_loosened_from_the_desk_by_those_who_work(route: SmallRoute) -> None:
    route.up_to("A20")
    assert "loosen-A10-A10-1" not in text_of(route, "A10", "wren")
    assert "loosen-A10-A10-1" in text_of(route, "A10", "fenn")
    Desk(route, "fenn").enter("loosen", "A10", checkpoint="A10.1", reason="Shim added")
    page = text_of(route, "A10")
    assert "Opened again:" in page
    assert "joint loosened, Shim added" in page


def test_too_close_is_accepted_by_another_lead_with_a_reason(route: SmallRoute) -> None:
    route.up_to("C20")
    route.send("start", "C20", "fenn")
    route.read("C20.1")
    answer = route.read("C20.2", "fenn", "turn", value="29 5/8")
    assert answer.data["verdict"] == ResultVerdict.TOO_CLOSE
    assert "Accept it by name" not in text_of(route, "C20", "fenn")
    lead = Desk(route, "lind")
    assert "Accept it by name" in lead.page("/jobs/1001/C20/")
    assert lead.enter("accept_close", "C20", checkpoint="C20.2", reason="", pin=PIN).status_code == 422
    lead.enter("accept_close", "C20", checkpoint="C20.2", reason="Edge is dressed later", pin=PIN)
    page = text_of(route, "C20")
    assert "Edge is dressed later" in page
    assert 'data-verdict="accepted"' in page


def test_a_nonconformance_is_decided_here_by_a_lead(route: SmallRoute) -> None:
    route.up_to("C20")
    route.send("start", "C20", "fenn")
    route.read("C20.1")
    route.read("C20.2", "fenn", "turn", value="31")
    assert "Decide what is done" not in text_of(route, "C20", "fenn")
    assert "A lead decides what is done about it." in text_of(route, "C20", "fenn")
    lead = Desk(route, "lind")
    assert "Decide what is done" in lead.page("/jobs/1001/C20/")
    lead.enter("disposition", "C20", nonconformance="1", disposition="rework", reason="Cut again", pin=PIN)
    assert "It closes when C20.2 is read again and conforms." in text_of(route, "C20")


def test_starting_and_finishing_are_offered_to_those_allowed(route: SmallRoute) -> None:
    assert "Start it" in text_of(route, "I10", "wren")
    assert "Start it" not in text_of(route, "I10", "pike")
    desk = Desk(route, "wren")
    desk.enter("start", "I10")
    assert "I10.1 Rail to rail is not recorded" in text_of(route, "I10", "wren")
    route.read("I10.1", "wren")
    assert "Finish it" in text_of(route, "I10", "wren")
    assert desk.enter("finish", "I10").status_code == 302
    assert "Finished," in text_of(route, "I10", "wren")


def test_a_hold_point_is_passed_by_a_lead_who_did_not_work_on_it(route: SmallRoute) -> None:
    route.up_to("W40")
    route.send("start", "W40", "lind")
    route.read("W40.1", "lind")
    route.read("W40.2", "lind")
    assert "Pass the hold point" not in text_of(route, "W40", "lind")
    assert "A lead who did not work on it passes the hold point" in text_of(route, "W40", "lind")
    assert "Pass the hold point" in text_of(route, "W40", "thorn")
    assert Desk(route, "thorn").enter("finish", "W40", pin=PIN).status_code == 302


def test_a_weld_is_judged_here_but_not_by_whoever_made_it(route: SmallRoute) -> None:
    route.up_to("W40")
    route.send("start", "W40", "lind")
    assert "Record the judgement" in text_of(route, "W40", "lind")
    assert "Record the judgement" not in text_of(route, "W40", "fenn")
    lead = Desk(route, "lind")
    answer = lead.enter("reading", "W40", checkpoint="W40.1", criterion_1="yes")
    assert answer.status_code == 422
    assert "Judge this criterion" in answer.content.decode()
    answer = lead.enter("reading", "W40", checkpoint="W40.1", criterion_1="yes", criterion_2="yes")
    assert answer.status_code == 302
    assert route.record.find_checkpoint("W40.1").is_closed  # type: ignore[union-attr]


def test_a_permit_of_another_day_is_shown_as_lapsed(route: SmallRoute) -> None:
    route.up_to("C20")
    route.send("start", "C20", "fenn")
    route.read("C20.1")
    route.later(days=1)
    page = text_of(route, "C20")
    assert "It does not hold any more: the permit was given on another day." in page
    assert ">Lapsed<" in page


@pytest.mark.parametrize("path", ["/jobs/1001/NONE/", "/jobs/9/I10/"])
def test_what_is_not_there_is_not_found(path: str, route: SmallRoute) -> None:
    assert Desk(route, "lind").get(path).status_code == 404
