"""A limit finer than anything in the shop: said so, decided once by a lead, shown wherever it is judged."""

import pytest

from jobs.models import JudgingDecision
from shop.models import Calibration, Instrument
from shop.verification import verify_record
from tests.jobs.bay import Bay
from tests.jobs.desk import PIN, Desk, give_pins
from tests.jobs.procedure_desk import desk_of
from tests.jobs.small_route import SmallRoute, assert_accepted

PAGE = "/procedures/P-9/A/judging/C20.2/"
SIMPLE = {"way": "simple", "reason": "The kit maker takes a tape"}


@pytest.fixture
def coarse(route: SmallRoute) -> SmallRoute:
    """The shop's only tape reads to half an inch: 29 1/2 ±1/8 in can never be proved with it."""
    give_pins(route)
    route.up_to("C20")
    assert_accepted(route.send("start", "C20", "fenn"))
    assert_accepted(route.read("C20.1"))
    Instrument.objects.filter(code="TP-1").update(resolution="1/2 in")
    return route


def test_it_stays_open_until_a_lead_has_decided_and_is_then_judged_as_read(coarse: SmallRoute) -> None:
    assert "the lead decides how it is judged" in Bay(coarse).page("C20")
    assert coarse.read("C20.2").data["verdict"] == "too_close"
    assert Desk(coarse, "lind").post(PAGE, SIMPLE).status_code == 302
    answer = coarse.read("C20.2", "moss")
    assert answer.data["verdict"] == "conforms"
    standing = coarse.record.find_checkpoint("C20.2")
    assert standing is not None
    assert standing.current is not None
    assert standing.current.decision["rule"]["name"] == "simple acceptance"
    assert "The kit maker takes a tape" in Desk(coarse, "lind").page(f"/jobs/{coarse.job.number}/C20/")
    assert verify_record().is_whole


def test_it_is_decided_once(coarse: SmallRoute) -> None:
    desk = Desk(coarse, "lind")
    assert desk.post(PAGE, {"way": "finer", "reason": "Tape is too coarse"}).status_code == 422
    finer = {"way": "finer", "reason": "Tape is too coarse", "instrument": "Tram gauge, hired"}
    assert desk.post(PAGE, finer).status_code == 302
    assert desk.post(PAGE, SIMPLE).status_code == 422
    assert JudgingDecision.objects.get().instrument == "Tram gauge, hired"
    assert "Tram gauge, hired" in desk.page(PAGE)
    assert coarse.read("C20.2").data["verdict"] == "too_close"


def test_only_a_lead_decides_and_never_without_a_reason(coarse: SmallRoute) -> None:
    assert desk_of("manager").post(PAGE, SIMPLE).status_code == 403
    assert Desk(coarse, "lind").post(PAGE, {"way": "simple"}).status_code == 422
    assert Desk(coarse, "lind").post(PAGE, {"reason": "So"}).status_code == 422
    assert not JudgingDecision.objects.exists()


def test_on_a_joint_that_hangs_the_wheel_a_second_lead_signs(coarse: SmallRoute) -> None:
    Instrument.objects.filter(code="TW-1").update(permissible_error="±40 %")
    page, desk = PAGE.replace("C20.2", "A10.1"), Desk(coarse, "lind")
    assert "Second lead" in desk.page(page)
    assert desk.post(page, SIMPLE).status_code == 422
    second = {**SIMPLE, "second_username": "thorn"}
    assert desk.post(page, {**second, "second_pin": "0000"}).status_code == 422
    assert desk.post(page, {**second, "second_pin": PIN}).status_code == 302
    assert JudgingDecision.objects.get().second == coarse.people["thorn"]


def test_as_soon_as_an_instrument_can_prove_it_the_shops_rule_holds_again(coarse: SmallRoute) -> None:
    Desk(coarse, "lind").post(PAGE, SIMPLE)
    finer = Instrument.objects.get(code="TP-1")
    finer.pk, finer.code, finer.resolution = None, "TP-2", "1/64 in"
    finer.permissible_error = "±1/64 in"
    finer.save()
    day = coarse.now.date()
    Calibration.objects.create(instrument=finer, done_on=day, due_on=day, way="certificate")
    answer = coarse.read("C20.2", value="29 1/2", instrument="TP-2")
    assert answer.data["verdict"] == "conforms"
    standing = coarse.record.find_checkpoint("C20.2")
    assert standing is not None
    assert standing.current is not None
    assert standing.current.decision["rule"]["name"].startswith("ISO 14253-1")


def test_before_its_release_a_procedure_says_what_can_prove_what(route: SmallRoute) -> None:
    page = Desk(route, "lind").page("/procedures/P-9/A/")
    assert "can prove it (ratio):" in page
    assert "TP-1 (" in page
