"""Each gate: closed while something is missing, with words for it, and open when it is there."""

import pytest

from jobs.gates.conditions import reasons_against_finishing, reasons_against_release, reasons_against_starting
from jobs.gates.fire_watch import fire_watch_not_over
from jobs.models import Stands
from parts.models import ReceiptLine
from shop.entries import Answer
from shop.models import SignedHow
from tests.factories import RecountFactory
from tests.jobs.small_route import SmallRoute, assert_accepted


def codes(answer: Answer) -> set[str]:
    return {reason["code"] for reason in answer.data.get("reasons", ())}


def against(route: SmallRoute, code: str) -> set[str]:
    record = route.record
    operation = record.find(code)
    assert operation is not None
    return {r.code for r in reasons_against_starting(record, operation, now=route.now)}


def test_a_car_does_not_stop_rolling_without_authority_and_a_counted_kit(route: SmallRoute) -> None:
    route.do("I10", "wren")
    answer = route.send("start", "T10", "fenn")
    assert answer.outcome == "refused"
    assert codes(answer) == {"authority", "kit_not_counted"}
    route.authorise()
    assert codes(route.send("start", "T10", "fenn")) == {"kit_not_counted"}
    route.count_kit()
    assert route.send("start", "T10", "fenn").accepted
    assert route.record.job.stands == Stands.ON_STANDS


def test_an_authority_that_does_not_allow_cutting_is_not_enough(route: SmallRoute) -> None:
    route.send("authority", "authority", "wren", scope="Measure", given_by="T", way="typed_name")
    assert "authority" in against(route, "T10")


def test_a_shortage_without_a_date_keeps_the_car_rolling_until_the_manager_takes_the_risk(
    route: SmallRoute,
) -> None:
    route.authorise()
    route.count_kit(TC_ARM=1)
    route.do("I10", "wren")
    assert codes(route.send("start", "T10", "fenn")) == {"risk:TC-ARM"}
    taken = {"reason_code": "risk:TC-ARM", "reason": "Arm is promised by phone"}
    refused = route.send("override", "T10", "lind", SignedHow.PIN, **taken)
    assert refused.outcome == "refused"
    assert_accepted(route.send("override", "T10", "ash", SignedHow.PIN, **taken))
    assert_accepted(route.send("start", "T10", "fenn"))


def test_a_risk_is_taken_for_as_many_pieces_as_were_missing(route: SmallRoute) -> None:
    route.authorise()
    route.count_kit(TC_ARM=1)
    taken = {"reason_code": "risk:TC-ARM", "reason": "Arm is promised by phone"}
    assert_accepted(route.send("override", "T10", "ash", SignedHow.PIN, **taken))
    assert "risk:TC-ARM" not in against(route, "T10")
    RecountFactory(receipt_line=ReceiptLine.objects.get(part_number="TC-ARM"), counted=0)
    assert "risk:TC-ARM" in against(route, "T10"), "the second arm is missing too"
    assert_accepted(route.send("override", "T10", "ash", SignedHow.PIN, **taken))
    assert "risk:TC-ARM" not in against(route, "T10")


def test_a_part_that_is_missing_stops_the_operation_that_needs_it(route: SmallRoute) -> None:
    route.count_kit(TC_BOLT=3)
    assert "short:TC-BOLT" in against(route, "A10")
    assert "short:TC-BOLT" not in against(route, "W20")
    route.count_kit(TC_CRADLE=0, TC_ARM=0, TC_BOLT=1)
    assert "short:TC-BOLT" not in against(route, "A10")


@pytest.mark.parametrize(
    ("operation", "missing"),
    [("T20", "after:T10"), ("C10", "after:T20"), ("L10", "after:A20")],
)
def test_an_operation_waits_for_the_one_before(route: SmallRoute, operation: str, missing: str) -> None:
    assert missing in against(route, operation)


def test_nothing_is_cut_before_the_marks_are_read_by_a_second_person(route: SmallRoute) -> None:
    route.up_to("C10")
    assert {"open:C10.1", "open:C10.2", "after:C10"} <= against(route, "C20")
    assert_accepted(route.send("start", "C10", "fenn"))
    assert_accepted(route.read("C10.1"))
    assert "open:C10.2" in against(route, "C20")
    assert_accepted(route.read("C10.2", "moss"))
    assert_accepted(route.send("finish", "C10", "fenn"))
    assert against(route, "C20") == set()


def test_level_and_datums_lapse_when_the_car_is_moved(route: SmallRoute) -> None:
    route.up_to("C20")
    route.later(hours=1)
    assert_accepted(route.send("move", "move", "lind", bay="1", stands="on_dolly"))
    assert against(route, "C20") == {"lapsed:T20.1", "lapsed:T20.2"}
    route.later(minutes=5)
    assert_accepted(route.read("T20.1"))
    assert_accepted(route.read("T20.2"))
    assert against(route, "C20") == set()


def test_no_spark_before_the_permit_of_the_day(route: SmallRoute) -> None:
    route.up_to("C20")
    assert_accepted(route.send("start", "C20", "fenn"))
    assert codes(route.read("C20.2")) == {"open:C20.1"}
    assert_accepted(route.read("C20.1"))
    route.later(days=1)
    assert codes(route.read("C20.2")) == {"lapsed:C20.1"}
    assert_accepted(route.read("C20.1"))
    assert_accepted(route.read("C20.2"))


def test_a_watch_is_closed_and_work_is_finished_without_a_new_permit(route: SmallRoute) -> None:
    route.up_to("W30")
    assert_accepted(route.send("start", "W30", "fenn"))
    for code in ("W30.1", "W30.2"):
        assert_accepted(route.read(code))
    route.later(days=1)
    assert_accepted(route.read("W30.3"))
    assert_accepted(route.send("finish", "W30", "fenn"))


def test_no_finish_weld_before_coupon_trial_fit_and_tacked_position(route: SmallRoute) -> None:
    route.up_to("W10")
    assert {"open:W10.1", "open:W10.2", "open:W20.2"} <= against(route, "W30")


def test_the_fire_watch_lasts_from_the_last_spark(route: SmallRoute) -> None:
    route.up_to("W30")
    assert_accepted(route.send("start", "W30", "fenn"))
    assert_accepted(route.read("W30.1"))
    assert_accepted(route.read("W30.2"))
    route.later(minutes=59)
    assert codes(route.read("W30.3")) == {"watch:W30.3"}
    route.later(minutes=1)
    assert_accepted(route.read("W30.3"))


def test_new_sparks_start_the_watch_again(route: SmallRoute) -> None:
    route.up_to("W30")
    assert_accepted(route.send("start", "W30", "fenn"))
    for code in ("W30.1", "W30.2"):
        assert_accepted(route.read(code))
    route.later(minutes=60)
    assert_accepted(route.read("W30.3"))
    assert_accepted(route.read("W30.2", reason="One plug ground out and welded again"))
    standing = route.record.find_checkpoint("W30.3")
    assert standing is not None
    assert standing.state == "reopened"
    assert codes(route.read("W30.3")) == {"watch:W30.3"}


def test_no_primer_and_no_assembly_before_the_welds_are_inspected(route: SmallRoute) -> None:
    route.up_to("W40")
    assert "open:W40.1" in against(route, "W50")
    assert {"open:W40.1", "open:W40.2"} <= against(route, "A10")


def test_not_onto_its_wheels_before_the_suspension_is_tight_or_listed_for_ride_height(
    route: SmallRoute,
) -> None:
    route.up_to("A10")
    assert {"open:A10.1"} == {c for c in against(route, "A20") if c.startswith("open:A10")}


def test_not_driven_before_every_joint_that_steers_hangs_or_brakes(route: SmallRoute) -> None:
    route.up_to("L10")
    assert against(route, "L10") == {"open:A10.2"}
    assert_accepted(route.read("A10.2"))
    assert against(route, "L10") == set()
    assert_accepted(route.send("loosen", "A10", "fenn", checkpoint="A10.3", reason="Shim"))
    assert "open:A10.3" in against(route, "L10")


def test_an_operation_is_not_finished_with_something_open_in_it(route: SmallRoute) -> None:
    route.up_to("W30")
    assert_accepted(route.send("start", "W30", "fenn"))
    record = route.record
    operation = record.find("W30")
    assert operation is not None
    found = {r.code for r in reasons_against_finishing(record, operation, now=route.now)}
    assert found == {"open:W30.1", "open:W30.2", "open:W30.3"}
    assert route.send("finish", "W30", "fenn").outcome == "refused"


def test_release_names_everything_that_is_open(route: SmallRoute) -> None:
    route.up_to("L10")
    found = {r.code for r in reasons_against_release(route.record, now=route.now)}
    assert found == {"operation:L10", "open:A10.2", "open:L10.1"}
    answer = route.send("release", "release", "lind", SignedHow.PIN)
    assert codes(answer) == found


@pytest.mark.parametrize("code", ["authority", "open:C10.1", "open:C10.2", "open:W40.1"])
def test_what_is_never_set_aside_is_not_set_aside(route: SmallRoute, code: str) -> None:
    operation = {"authority": "T10", "open:W40.1": "A10"}.get(code, "C20")
    for who in ("lind", "ash"):
        answer = route.send("override", operation, who, SignedHow.PIN, reason_code=code, reason="In a hurry")
        assert answer.outcome == "refused"
    assert not route.record.overrides


def test_what_a_lead_sets_aside_shows_by_name(route: SmallRoute) -> None:
    answer = route.send(
        "override", "C20", "lind", SignedHow.PIN, reason_code="open:I10.1", reason="Rails are new"
    )
    assert_accepted(answer)
    override = route.record.overrides[0]
    assert (override.person.username, override.reason) == ("lind", "Rails are new")
    assert "open:I10.1" not in against(route, "C20")


def test_a_problem_further_back_stops_the_drive_until_it_is_settled(route: SmallRoute) -> None:
    """Seen at an operation that is done, about no checkpoint: nobody drives on it, decided or not."""
    route.up_to("L10")
    assert_accepted(route.read("A10.2"))
    assert_accepted(route.send("problem", "A10", "fenn", text="Brake hose is cut"))
    assert codes(route.send("start", "L10", "fenn")) == {"nonconformance:1"}
    rework = {"nonconformance": "1", "disposition": "rework", "reason": "New hose"}
    assert_accepted(route.send("disposition", "A10", "lind", SignedHow.PIN, **rework))
    assert against(route, "L10") == {"nonconformance:1"}
    assert_accepted(route.send("rework_checked", "A10", "lind", SignedHow.PIN, nonconformance="1"))
    assert against(route, "L10") == set()


def test_a_problem_that_nobody_has_decided_about_stops_all_that_comes_after(route: SmallRoute) -> None:
    route.up_to("C10")
    assert_accepted(route.send("problem", "T10", "fenn", text="A stand has sunk"))
    assert against(route, "C10") == {"nonconformance:1"}
    rework = {"nonconformance": "1", "disposition": "rework", "reason": "Plate under it"}
    assert_accepted(route.send("disposition", "T10", "lind", SignedHow.PIN, **rework))
    assert against(route, "C10") == set()


def test_a_problem_beside_the_marks_stops_the_cut_that_has_begun(route: SmallRoute) -> None:
    route.up_to("C20")
    assert_accepted(route.send("start", "C20", "fenn"))
    assert_accepted(route.read("C20.1"))
    assert_accepted(route.send("problem", "C10", "moss", text="The rail is not as drawn"))
    assert "nonconformance:1" in codes(route.read("C20.2"))


def test_what_is_tightened_at_ride_height_is_not_tightened_on_stands(route: SmallRoute) -> None:
    route.up_to("A10")
    assert_accepted(route.send("start", "A10", "fenn"))
    assert "on its wheels; the car is on stands" in route.read("A10.2").data["message"]
    assert_accepted(route.send("move", "move", "lind", bay="1", stands="on_dolly"))
    assert "the car is on a dolly" in route.read("A10.2").data["message"]


def test_a_watch_kept_in_a_later_operation_lasts_from_the_end_of_the_work(route: SmallRoute) -> None:
    """Started at eight and finished at four with nothing recorded between: it sparked until four."""
    route.up_to("W20")
    assert_accepted(route.send("start", "W20", "fenn"))
    assert_accepted(route.read("W20.1"))
    assert_accepted(route.read("W20.2"))
    route.later(hours=8)
    assert_accepted(route.send("finish", "W20", "fenn"))
    assert route.record.last_hot_work(up_to=route.record.find("W30").position) == route.now  # type: ignore[union-attr]
    watch = route.record.find_checkpoint("W30.3")
    route.later(minutes=59)
    assert fire_watch_not_over(route.record, watch, now=route.now) is not None  # type: ignore[arg-type]
