"""What is done again undoes what stood on it; what nobody decided about stops; nobody judges their own."""

import uuid
from typing import Any

import pytest

from jobs.gates.conditions import reasons_against_starting
from jobs.models import Nonconformance, Override
from jobs.record import CheckState
from jobs.recording import FloorEntry, record_entry
from shop.entries import Answer
from shop.models import SignedHow
from shop.verification import verify_record
from tests.jobs.small_route import SmallRoute, assert_accepted

PIN = SignedHow.PIN


def state(route: SmallRoute, code: str) -> str:
    standing = route.record.find_checkpoint(code)
    assert standing is not None
    return standing.state


def operation_state(route: SmallRoute, code: str) -> str:
    operation = route.record.find(code)
    assert operation is not None
    return operation.state


def against(route: SmallRoute, code: str) -> set[str]:
    record = route.record
    operation = record.find(code)
    assert operation is not None
    return {r.code for r in reasons_against_starting(record, operation, now=route.now)}


def decide(route: SmallRoute, operation: str, what: str, who: str = "thorn", **more: Any) -> Answer:
    number = str(route.record.open_nonconformances[-1].number)
    payload = {"nonconformance": number, "disposition": what, "reason": "Decided", **more}
    return route.send("disposition", operation, who, PIN, **payload)


def test_a_weld_is_not_judged_before_it_is_made(route: SmallRoute) -> None:
    route.up_to("W30")
    aside = {"reason_code": "after:W30", "reason": "Inspector is leaving"}
    assert_accepted(route.send("override", "W40", "thorn", PIN, **aside))
    assert_accepted(route.send("start", "W40", "lind"))
    assert route.read("W40.1", "lind").outcome == "refused"
    assert_accepted(route.send("start", "W30", "fenn"))
    assert route.read("W40.1", "lind").outcome == "refused"


def test_welding_again_asks_for_a_new_inspection_and_measurement(route: SmallRoute) -> None:
    route.up_to("A10")
    assert_accepted(route.read("W30.2", reason="One plug ground out and welded again"))
    assert {state(route, c) for c in ("W30.3", "W40.1", "W40.2")} == {CheckState.REOPENED}
    assert {"open:W30.3", "open:W40.1", "open:W40.2"} <= against(route, "A10")
    assert "open:W40.1" in against(route, "W50")


def test_a_rejected_weld_is_welded_again_by_permit_and_with_a_watch(route: SmallRoute) -> None:
    route.up_to("W40")
    assert_accepted(route.send("start", "W40", "lind"))
    assert_accepted(route.read("W40.1", "lind", criterion_1="no"))
    assert_accepted(decide(route, "W40", "rework"))
    assert operation_state(route, "W30") == "in_work"
    assert {state(route, c) for c in ("W30.2", "W30.3", "W40.1")} == {CheckState.REOPENED}
    assert route.read("W40.1", "lind").outcome == "refused"
    route.later(days=1)
    assert route.read("W30.2").outcome == "refused"
    for code in ("W30.1", "W30.2"):
        assert_accepted(route.read(code))
    assert route.read("W30.3").outcome == "refused"
    route.later(minutes=61)
    assert_accepted(route.read("W30.3"))
    assert_accepted(route.send("finish", "W30", "fenn"))
    assert_accepted(route.read("W40.1", "lind"))
    assert not route.record.open_nonconformances


def test_a_mark_read_anew_is_witnessed_anew(route: SmallRoute) -> None:
    route.up_to("C20")
    assert_accepted(route.read("C10.1", value="29 33/64", reason="Scribed again"))
    assert state(route, "C10.2") == CheckState.REOPENED
    assert {"open:C10.2", "after:C10"} <= against(route, "C20")


def test_whoever_has_read_a_mark_before_is_no_witness_of_it(route: SmallRoute) -> None:
    route.up_to("C10")
    assert_accepted(route.send("start", "C10", "fenn"))
    assert_accepted(route.read("C10.1", "moss"))
    assert_accepted(route.read("C10.1", "fenn", reason="Line was thick"))
    assert route.read("C10.2", "moss").outcome == "refused"
    assert_accepted(route.read("C10.2", "lind"))
    assert_accepted(route.read("C10.1", "lind", reason="Witness reads the first as well"))
    assert state(route, "C10.2") == CheckState.REOPENED
    assert route.read("C10.2", "lind").outcome == "refused"


def test_a_hold_point_is_passed_again_when_a_result_in_it_is_superseded(route: SmallRoute) -> None:
    route.up_to("W50")
    assert_accepted(route.read("W40.2", left="14 1/64", reason="Read at the wrong edge"))
    assert operation_state(route, "W40") == "in_work"
    assert "after:W40" in against(route, "W50")


@pytest.mark.parametrize(("operation", "checkpoint"), [("W30", "W30.3"), ("A20", "A20.2")])
def test_a_watch_or_brake_that_failed_is_not_taken_by_one_person(
    route: SmallRoute, operation: str, checkpoint: str
) -> None:
    route.up_to(operation)
    assert_accepted(route.send("start", operation, "fenn"))
    for code in [c.code for c in route.record.find(operation).checkpoints]:  # type: ignore[union-attr]
        route.later(minutes=61 if code == "W30.3" else 0)
        assert_accepted(route.read(code, **({"go": "no"} if code == checkpoint else {})))
    assert decide(route, operation, "use_as_is").outcome == "refused"
    assert decide(route, operation, "use_as_is", second=route.people["fenn"].pk).outcome == "refused"
    assert_accepted(decide(route, operation, "use_as_is", second=route.people["lind"].pk))


def test_a_permit_that_was_refused_is_not_used_as_it_is(route: SmallRoute) -> None:
    route.up_to("C20")
    assert_accepted(route.send("start", "C20", "fenn"))
    assert_accepted(route.read("C20.1", go="no"))
    assert decide(route, "C20", "use_as_is", second=route.people["lind"].pk).outcome == "refused"
    assert route.read("C20.2").outcome == "refused"


@pytest.mark.parametrize("before", [True, False])
def test_what_was_recorded_badly_is_decided_about_and_not_set_aside(route: SmallRoute, before: bool) -> None:
    route.up_to("W10")
    assert_accepted(route.send("start", "W10", "thorn"))
    aside = {"reason_code": "open:W10.1", "reason": "In a hurry"}
    if before:
        assert_accepted(route.send("override", "W30", "lind", PIN, **aside))
    assert_accepted(route.read("W10.1", "thorn", go="no"))
    if not before:
        assert route.send("override", "W30", "thorn", PIN, **aside).outcome == "refused"
    assert "open:W10.1" in against(route, "W30")
    assert Override.objects.count() == before


def test_a_problem_found_at_a_closed_weld_stops_assembly_until_it_is_decided(route: SmallRoute) -> None:
    route.up_to("A10")
    assert against(route, "A10") == set()
    assert_accepted(route.send("problem", "W40", "moss", text="A crack", checkpoint="W40.1"))
    assert "nonconformance:1" in against(route, "A10")
    assert route.send("disposition", "W40", "fenn", PIN).outcome == "refused"


def test_a_problem_at_the_operation_before_stops_the_next(route: SmallRoute) -> None:
    route.up_to("T20")
    assert_accepted(route.send("problem", "T10", "moss", text="A stand is bent"))
    assert against(route, "T20") == {"nonconformance:1"}


def test_a_car_is_not_moved_onto_its_wheels_with_a_loose_arm(route: SmallRoute) -> None:
    route.up_to("L10")
    assert_accepted(route.send("move", "move", "lind", bay="1", stands="on_dolly"))
    assert_accepted(route.send("loosen", "A10", "fenn", checkpoint="A10.1", reason="Spring out"))
    answer = route.send("move", "move", "lind", bay="1", stands="on_wheels")
    assert [r["code"] for r in answer.data["reasons"]] == ["open:A10.1"]
    assert_accepted(route.read("A10.1"))
    assert_accepted(route.send("move", "move", "lind", bay="1", stands="on_wheels"))


def test_what_is_accepted_after_rework_leaves_no_nonconformance_open(route: SmallRoute) -> None:
    route.up_to("C20")
    assert_accepted(route.send("start", "C20", "fenn"))
    assert_accepted(route.read("C20.1"))
    assert_accepted(route.read("C20.2", value="31"))
    assert_accepted(decide(route, "C20", "rework"))
    assert route.read("C20.2", value="29 5/8").data["verdict"] == "too_close"
    taken = {"checkpoint": "C20.2", "reason": "Saw kerf"}
    assert_accepted(route.send("accept_close", "C20", "lind", PIN, **taken))
    assert not Nonconformance.objects.filter(closed_at=None).exists()
    assert_accepted(route.send("finish", "C20", "fenn"))


def test_whoever_finished_the_welding_does_not_judge_it(route: SmallRoute) -> None:
    route.up_to("W30")
    assert_accepted(route.send("start", "W30", "fenn"))
    for code in ("W30.1", "W30.2", "W30.3"):
        route.later(minutes=61 if code == "W30.3" else 0)
        assert_accepted(route.read(code))
    assert_accepted(route.send("finish", "W30", "thorn"))
    assert_accepted(route.send("start", "W40", "lind"))
    assert route.read("W40.1", "thorn").outcome == "refused"
    assert_accepted(route.read("W40.1", "lind"))


def test_a_missing_part_of_an_unknown_operation_keeps_the_car_rolling(route: SmallRoute) -> None:
    route.authorise()
    route.job.kit_order.kit_revision.lines.filter(part_number="TC-BOLT").update(operation="X99")
    route.count_kit(TC_BOLT=3)
    route.do("I10", "wren")
    assert against(route, "T10") == {"risk:TC-BOLT"}


def test_somebody_who_has_left_signs_nothing(route: SmallRoute) -> None:
    route.people["wren"].is_active = False
    assert route.send("start", "I10", "wren").outcome == "refused"


def test_whoever_comes_too_late_does_not_see_the_first_reading(route: SmallRoute) -> None:
    route.up_to("C10")
    assert_accepted(route.send("start", "C10", "fenn"))
    seen = route.record.saw("C10")
    assert_accepted(route.read("C10.1", value="29 33/64"))
    sent = FloorEntry(
        uuid.uuid4(), route.job.number, "C10", "witness", route.people["moss"], PIN,
        saw=seen, payload={"checkpoint": "C10.2", "value": "29 1/2", "instrument": "TP-1"},
    )  # fmt: skip
    for answer in (record_entry(sent, now=route.now), record_entry(sent, now=route.now)):
        assert answer.outcome == "conflict"
        assert answer.data["happened"]["signer"] == route.people["fenn"].pk
        assert "33/64" not in str(answer.data)


def test_what_was_done_again_leaves_the_record_whole(route: SmallRoute) -> None:
    route.up_to("A10")
    assert_accepted(route.read("W30.2", reason="Welded again"))
    assert_accepted(route.read("C10.1", reason="Read again"))
    assert verify_record().is_whole
