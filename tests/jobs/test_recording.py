"""What is recorded on a car: signed by whom it may, superseded and never edited."""

import datetime as dt
import uuid

import pytest

from jobs.bad_input import BadInput
from jobs.models import Nonconformance, Result
from jobs.record import CheckState
from jobs.recording import FloorEntry, record_entry
from shop.models import Calibration, Certificate, SignedHow
from shop.verification import verify_record
from tests.jobs.small_route import SmallRoute, assert_accepted


def state(route: SmallRoute, code: str) -> str:
    standing = route.record.find_checkpoint(code)
    assert standing is not None
    return standing.state


def test_a_car_goes_the_whole_way_and_its_record_is_whole(route: SmallRoute) -> None:
    route.up_to("L10")
    assert_accepted(route.read("A10.2"))
    route.do("L10")
    assert_accepted(route.send("release", "release", "lind", SignedHow.PIN))
    assert route.record.job.is_released
    assert route.record.job.bay is None
    assert verify_record().is_whole
    closed = route.send("problem", "L10", "fenn", text="Pulls left")
    assert closed.outcome == "refused"


def test_an_entry_sent_twice_is_one_result(route: SmallRoute) -> None:
    route.up_to("T20")
    assert_accepted(route.send("start", "T20", "fenn"))
    sent = FloorEntry(
        uuid.uuid4(),
        route.job.number,
        "T20",
        "reading",
        route.people["fenn"],
        SignedHow.TURN,
        saw=route.record.saw("T20"),
        payload={"checkpoint": "T20.1", "go": "yes"},
    )
    first, second = record_entry(sent, now=route.now), record_entry(sent, now=route.now)
    assert first.data == second.data
    assert second.repeated
    assert Result.objects.filter(checkpoint__code="T20.1").count() == 1


def test_what_does_not_conform_opens_a_nonconformance_and_waits_for_the_lead(route: SmallRoute) -> None:
    route.up_to("W20")
    assert_accepted(route.send("start", "W20", "fenn"))
    assert_accepted(route.read("W20.1"))
    answer = route.read("W20.2", left="15", right="14")
    assert answer.data["verdict"] == "does_not_conform"
    assert answer.data["nonconformance"] == 1
    assert route.read("W20.2").outcome == "refused"
    rework = {"nonconformance": "1", "disposition": "rework", "reason": "Break the tacks"}
    assert route.send("disposition", "W20", "fenn", SignedHow.PIN, **rework).outcome == "refused"
    assert_accepted(route.send("disposition", "W20", "lind", SignedHow.PIN, **rework))
    assert state(route, "W20.2") == CheckState.REOPENED
    assert_accepted(route.read("W20.2"))
    assert not route.record.open_nonconformances
    results = Result.objects.filter(checkpoint__code="W20.2").order_by("pk")
    assert [r.verdict for r in results] == ["does_not_conform", "conforms"]
    assert results[1].supersedes == results[0]


def test_a_lead_does_not_decide_about_their_own_work(route: SmallRoute) -> None:
    route.up_to("C20")
    assert_accepted(route.send("start", "C20", "lind"))
    assert_accepted(route.read("C20.1", "lind"))
    assert_accepted(route.read("C20.2", "lind", value="31"))
    rework = {"nonconformance": "1", "disposition": "use_as_is", "reason": "Fine"}
    assert route.send("disposition", "C20", "lind", SignedHow.PIN, **rework).outcome == "refused"
    assert_accepted(route.send("disposition", "C20", "thorn", SignedHow.PIN, **rework))
    assert state(route, "C20.2") == CheckState.ACCEPTED


def test_use_as_is_on_a_joint_that_hangs_the_wheel_takes_a_second_person(route: SmallRoute) -> None:
    route.up_to("A10")
    assert_accepted(route.send("start", "A10", "fenn"))
    assert_accepted(route.read("A10.1", value="90"))
    as_is = {"nonconformance": "1", "disposition": "use_as_is", "reason": "Maker agrees"}
    assert route.send("disposition", "A10", "lind", SignedHow.PIN, **as_is).outcome == "refused"
    same = {**as_is, "second": route.people["fenn"].pk}
    assert route.send("disposition", "A10", "lind", SignedHow.PIN, **same).outcome == "refused"
    second = {**as_is, "second": route.people["thorn"].pk}
    assert_accepted(route.send("disposition", "A10", "lind", SignedHow.PIN, **second))
    assert Nonconformance.objects.get().second == route.people["thorn"]


def test_a_loosened_joint_loses_its_result_and_wants_new_hardware(route: SmallRoute) -> None:
    route.up_to("A20")
    answer = route.send("loosen", "A10", "fenn", checkpoint="A10.1", reason="Arm out for the spring")
    assert answer.data["new_hardware"] is True
    assert state(route, "A10.1") == CheckState.REOPENED
    operation = route.record.find("A10")
    assert operation is not None
    assert operation.is_in_work
    with pytest.raises(BadInput) as bad:
        route.read("A10.1", new_hardware="")
    assert set(bad.value.errors) == {"new_hardware"}
    assert_accepted(route.read("A10.1"))


def test_the_witness_is_somebody_else_and_signs_with_a_pin(route: SmallRoute) -> None:
    route.up_to("C10")
    assert_accepted(route.send("start", "C10", "fenn"))
    assert route.read("C10.2", "moss").outcome == "refused"
    assert_accepted(route.read("C10.1"))
    assert route.record.awaits_witness(route.record.find_checkpoint("C10.1"))  # type: ignore[arg-type]
    assert route.read("C10.2", "fenn").outcome == "refused"
    answer = route.read("C10.2", "moss", value="29 33/64")
    assert answer.data["verdict"] == "conforms"
    assert not route.record.awaits_witness(route.record.find_checkpoint("C10.1"))  # type: ignore[arg-type]


def test_two_readings_that_disagree_do_not_conform(route: SmallRoute) -> None:
    route.up_to("C10")
    assert_accepted(route.send("start", "C10", "fenn"))
    assert_accepted(route.read("C10.1", value="29 1/2"))
    answer = route.read("C10.2", "moss", value="28 1/2")
    assert answer.data["verdict"] == "does_not_conform"


def test_nobody_inspects_their_own_welds(route: SmallRoute) -> None:
    route.up_to("W30")
    route.do("W30", "thorn")
    assert_accepted(route.send("start", "W40", "lind"))
    assert route.read("W40.1", "thorn").outcome == "refused"
    assert route.read("W40.1", "moss").outcome == "refused"
    assert_accepted(route.read("W40.1", "lind"))


def test_a_welder_without_a_valid_certificate_does_not_weld(route: SmallRoute) -> None:
    route.up_to("W20")
    assert route.send("start", "W20", "moss").outcome == "refused"
    Certificate.objects.filter(person=route.people["fenn"]).update(
        valid_until=route.now.date() - dt.timedelta(days=1)
    )
    assert route.send("start", "W20", "fenn").outcome == "refused"


def test_a_hold_point_is_passed_by_a_lead_who_did_not_do_the_work(route: SmallRoute) -> None:
    route.up_to("W40")
    assert_accepted(route.send("start", "W40", "lind"))
    for code in ("W40.1", "W40.2"):
        assert_accepted(route.read(code, "lind"))
    assert route.send("finish", "W40", "fenn").outcome == "refused"
    assert route.send("finish", "W40", "lind", SignedHow.PIN).outcome == "refused"
    assert route.send("finish", "W40", "thorn").outcome == "refused"
    assert_accepted(route.send("finish", "W40", "thorn", SignedHow.PIN))


def test_an_instrument_out_of_calibration_is_refused_when_it_is_picked(route: SmallRoute) -> None:
    route.up_to("C20")
    Calibration.objects.filter(instrument__code="TP-1").update(due_on=route.now.date() - dt.timedelta(days=1))
    assert_accepted(route.send("start", "C20", "fenn"))
    assert_accepted(route.read("C20.1"))
    with pytest.raises(BadInput) as bad:
        route.read("C20.2")
    assert "out of calibration" in bad.value.errors["instrument"]


def test_too_close_to_call_stays_open_until_it_is_read_again_or_a_lead_decides(route: SmallRoute) -> None:
    route.up_to("C20")
    assert_accepted(route.send("start", "C20", "fenn"))
    assert_accepted(route.read("C20.1"))
    assert route.read("C20.2", value="29 5/8").data["verdict"] == "too_close"
    assert state(route, "C20.2") == CheckState.TOO_CLOSE
    own = {"checkpoint": "C20.2", "reason": "Saw kerf"}
    assert route.send("accept_close", "C20", "fenn", SignedHow.PIN, **own).outcome == "refused"
    assert_accepted(route.send("accept_close", "C20", "lind", SignedHow.PIN, **own))
    assert state(route, "C20.2") == CheckState.ACCEPTED


def test_a_closed_result_is_read_again_only_with_a_reason(route: SmallRoute) -> None:
    route.up_to("C20")
    with pytest.raises(BadInput) as bad:
        route.read("T20.1")
    assert set(bad.value.errors) == {"reason"}
    assert_accepted(route.read("T20.1", reason="Pin knocked"))
    assert Result.objects.filter(checkpoint__code="T20.1").count() == 2


def test_a_problem_stops_the_operation_until_the_lead_has_decided(route: SmallRoute) -> None:
    route.up_to("T20")
    assert_accepted(route.send("start", "T20", "fenn"))
    for code in ("T20.1", "T20.2"):
        assert_accepted(route.read(code))
    assert_accepted(route.send("problem", "T20", "moss", text="Rust under the rail"))
    assert route.send("finish", "T20", "fenn").outcome == "refused"
    rework = {"nonconformance": "1", "disposition": "rework", "reason": "Cut out and patch"}
    assert_accepted(route.send("disposition", "T20", "lind", SignedHow.PIN, **rework))
    assert route.send("finish", "T20", "fenn").outcome == "refused"
    assert_accepted(route.send("rework_checked", "T20", "lind", SignedHow.PIN, nonconformance="1"))
    assert_accepted(route.send("finish", "T20", "fenn"))


@pytest.mark.parametrize(
    ("value", "word"),
    [("", "Enter"), ("a bit", ""), ("10^400", ""), ("NaN", ""), ("29 1/2 lbf·ft", ""), ("-29", "")],
)
def test_what_cannot_be_read_is_said_beside_its_field_and_nothing_is_saved(
    route: SmallRoute, value: str, word: str
) -> None:
    route.up_to("C20")
    assert_accepted(route.send("start", "C20", "fenn"))
    assert_accepted(route.read("C20.1"))
    before = Result.objects.count()
    with pytest.raises(BadInput) as bad:
        route.read("C20.2", value=value)
    assert set(bad.value.errors) <= {"value", "instrument"}
    assert word in next(iter(bad.value.errors.values()))
    assert Result.objects.count() == before


def test_a_car_on_stands_is_not_moved(route: SmallRoute) -> None:
    route.up_to("T20")
    assert route.send("move", "move", "lind", bay="", stands="on_stands").outcome == "refused"
    assert route.send("move", "move", "lind", bay="", stands="on_wheels").outcome == "refused"
    assert_accepted(route.send("move", "move", "lind", bay="", stands="on_dolly"))


def test_whoever_started_the_work_does_not_decide_about_another_reader_of_it(route: SmallRoute) -> None:
    route.up_to("C20")
    assert_accepted(route.send("start", "C20", "lind"))
    assert_accepted(route.read("C20.1", "fenn"))
    assert_accepted(route.read("C20.2", "fenn", value="31"))
    as_is = {"nonconformance": "1", "disposition": "use_as_is", "reason": "Fine"}
    assert route.send("disposition", "C20", "lind", SignedHow.PIN, **as_is).outcome == "refused"
    assert_accepted(route.send("disposition", "C20", "thorn", SignedHow.PIN, **as_is))


def test_the_welder_does_not_decide_about_their_rejected_weld(route: SmallRoute) -> None:
    route.up_to("W30")
    route.do("W30", "thorn")
    assert_accepted(route.send("start", "W40", "lind"))
    assert_accepted(route.read("W40.1", "lind", criterion_1="no"))
    rework = {"nonconformance": "1", "disposition": "rework", "reason": "Grind and weld again"}
    assert route.send("disposition", "W40", "thorn", SignedHow.PIN, **rework).outcome == "refused"
    assert_accepted(route.send("disposition", "W40", "lind", SignedHow.PIN, **rework))


@pytest.mark.parametrize(
    "payload", [{"second": "x"}, {"second": "9" * 400}, {"photo": "none"}, {"second": None}]
)
def test_a_payload_of_any_shape_is_answered_in_words(route: SmallRoute, payload: dict[str, object]) -> None:
    route.up_to("A10")
    assert_accepted(route.send("start", "A10", "fenn"))
    assert_accepted(route.read("A10.1", value="90"))
    as_is = {"nonconformance": "1", "disposition": "use_as_is", "reason": "Maker agrees", **payload}
    assert route.send("disposition", "A10", "lind", SignedHow.PIN, **as_is).outcome == "refused"
