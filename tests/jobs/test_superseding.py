"""A newer revision while cars are on the floor: each car waits for a decision, then goes on as decided."""

import pytest

from jobs.bad_input import BadInput
from jobs.gates.conditions import reasons_against_release
from jobs.models import BookedTime, ProcedureRevision, RevisionDecision
from jobs.procedures.bringing_in import bring_in_procedure
from jobs.procedures.car_change import Between, Where, car_change
from jobs.superseded import touched_codes
from shop.entries import Answer
from shop.models import SignedHow
from shop.verification import verify_record
from tests.jobs.short_files import PROCEDURE
from tests.jobs.small_route import SmallRoute, assert_accepted

pytestmark = pytest.mark.django_db
LIMIT = ("limit: 29 1/2 ±1/16 in", "limit: 29 1/2 ±1/8 in")
ARM = ("limit: 65 ±10 % lbf·ft", "limit: 75 ±10 % lbf·ft")
COUPON = ("go: No crack, proves: [coupon]", "go: No crack and no void, proves: [coupon]")
NEW = """\
  - code: C30
    stage: cutting
    title: Dress the edges
    minutes: 30
    skill: fabrication
    steps: [Dress them]
    checkpoints:
      - {code: C30.1, kind: fit, title: Edges, go: No burr}
  - code: W10
"""


def release(
    route: SmallRoute, *changes: tuple[str, str], name: str = "B", note: str = ""
) -> ProcedureRevision:
    text = PROCEDURE.replace("revision: A", f"revision: {name}")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    people = route.people
    brought = bring_in_procedure(
        text.encode(), by=people["lind"], now=route.now, release=True, released_by=people["ash"]
    )
    return brought.revision


def decide(route: SmallRoute, answer: str, who: str = "lind", **more: object) -> Answer:
    given = {"to": "B", "answer": answer, "reason": "The maker's letter", **more}
    return route.send("revision_decision", "revision", who, SignedHow.PIN, **given)


def start(route: SmallRoute, code: str) -> Answer:
    return route.send("start", code, "fenn")


def revision_of(route: SmallRoute, code: str) -> str:
    found = route.record.find(code)
    assert found is not None
    return found.operation.revision.revision


def test_what_is_touched_cannot_begin_before_somebody_decides_and_all_else_can(route: SmallRoute) -> None:
    route.up_to("W10")
    release(route, ARM)
    assert route.record.superseded is not None
    assert route.record.superseded.touched == {"A10"}
    assert_accepted(start(route, "W10"))
    refused = start(route, "A10")
    assert "revision:B" in str(refused.data)
    assert "nobody has decided about this car" in str(refused.data)


def test_what_is_in_work_and_touched_cannot_be_finished_before_somebody_decides(route: SmallRoute) -> None:
    route.up_to("W10")
    assert_accepted(start(route, "W10"))
    assert_accepted(route.read("W10.1"))
    assert_accepted(route.read("W10.2"))
    release(route, COUPON)
    assert "revision:B" in str(route.send("finish", "W10", "fenn").data)
    assert_accepted(decide(route, "carry_on"))
    assert_accepted(route.send("finish", "W10", "fenn"))


def test_carrying_on_with_an_old_joint_takes_a_second_person(route: SmallRoute) -> None:
    route.up_to("W10")
    release(route, ARM)
    assert "second qualified person" in str(decide(route, "carry_on").data)
    assert_accepted(decide(route, "carry_on", second=route.people["thorn"].pk))
    assert route.record.superseded is None
    assert revision_of(route, "A10") == "A"
    decision = RevisionDecision.objects.get()
    assert (str(decision.from_revision), str(decision.to_revision)) == ("P-9 A", "P-9 B")
    assert verify_record().is_whole


def test_only_a_lead_decides_and_says_why(route: SmallRoute) -> None:
    release(route, ARM)
    assert "This is done by: Lead" in str(decide(route, "carry_on", "fenn").data)
    with pytest.raises(BadInput):
        decide(route, "carry_on", reason=" ")
    with pytest.raises(BadInput):
        decide(route, "whatever")
    assert "You were shown revision A" in str(decide(route, "carry_on", to="A").data)


def test_changing_over_pins_what_has_not_begun_and_leaves_what_was_done(route: SmallRoute) -> None:
    route.up_to("W10")
    release(route, ARM, ("  - code: W10\n", NEW))
    assert_accepted(decide(route, "change_over"))
    assert revision_of(route, "C20") == "A"
    assert [revision_of(route, code) for code in ("C30", "W10", "A10")] == ["B", "B", "B"]
    assert route.record.job.procedure_revision.revision == "B"
    assert "after:C30" in str(start(route, "W10").data)
    assert_accepted(start(route, "C30"))
    assert verify_record().is_whole


def test_a_point_that_was_passed_is_accepted_with_a_reason_or_done_once_more(route: SmallRoute) -> None:
    route.up_to("W10")
    release(route, LIMIT)
    with pytest.raises(BadInput) as bad:
        decide(route, "change_over")
    assert set(bad.value.errors) == {"op_C10"}
    with pytest.raises(BadInput) as bad:
        decide(route, "change_over", op_C10="accept")
    assert set(bad.value.errors) == {"why_C10"}
    assert_accepted(decide(route, "change_over", op_C10="accept", why_C10="The looser limit"))
    assert revision_of(route, "C10") == "A"
    assert_accepted(start(route, "W10"))


def test_rework_brings_the_operation_once_more_by_the_newer_revision(route: SmallRoute) -> None:
    route.up_to("W20")
    release(route, COUPON)
    assert_accepted(decide(route, "rework"))
    again = route.record.find("W11")
    assert again is not None
    assert again.repeats == "W10"
    assert again.checkpoints[0].checkpoint.go == "No crack and no void"
    assert "after:W11" in str(start(route, "W20").data)
    assert_accepted(start(route, "W11"))
    for checkpoint in ("W11.1", "W11.2"):
        assert_accepted(route.send("reading", "W11", "fenn", checkpoint=checkpoint, go="yes"))
    assert_accepted(route.send("finish", "W11", "fenn"))
    assert_accepted(start(route, "W20"))
    assert verify_record().is_whole


def test_what_is_in_work_and_done_again_stops_where_it_is(route: SmallRoute) -> None:
    route.up_to("W10")
    assert_accepted(start(route, "W10"))
    release(route, COUPON)
    assert_accepted(decide(route, "rework"))
    assert route.record.find("W10").state == "not_applicable"  # type: ignore[union-attr]
    assert route.record.in_hand.code == "W11"  # type: ignore[union-attr]
    assert not BookedTime.objects.filter(job_operation__job=route.job, ended_at=None).exists()


def test_nobody_accepts_their_own_work(route: SmallRoute) -> None:
    route.up_to("W10")
    assert_accepted(route.send("start", "W10", "lind"))
    release(route, COUPON)
    mine = decide(route, "change_over", op_W10="accept", why_W10="It is good")
    assert "worked on W10" in str(mine.data)


def test_a_deviation_from_the_old_revision_is_settled_first(route: SmallRoute) -> None:
    route.up_to("C10")
    text = {"text": "Wider", "limit": "29 1/2 ±1/4 in", "reason": "Bent rail"}
    assert_accepted(
        route.send("deviation", "C10", "lind", SignedHow.PIN, checkpoint="C10.1", equal="", **text)
    )
    release(route, LIMIT)
    assert "withdraw it first" in str(decide(route, "change_over").data)
    assert revision_of(route, "C10") == "A"


def test_a_mixed_route_in_which_a_gate_could_never_open_is_refused(route: SmallRoute) -> None:
    """The newer revision proves the coupon where the car has been, and no longer where it has yet to go."""
    route.up_to("W10")
    coupon = "{code: C20.3, kind: fit, title: Coupon, go: Good, proves: [coupon]}"
    cut = "      - {code: C20.2, kind: dimension,"
    release(route, ("proves: [coupon]", "proves: []"), (cut, f"      - {coupon}\n{cut}"))
    refused = decide(route, "change_over", op_C20="accept", why_C20="It is cut")
    assert "W30: nothing before it proves coupon" in str(refused.data)
    assert not RevisionDecision.objects.exists()
    assert_accepted(decide(route, "change_over", op_C20="rework"))
    assert route.record.find("C21") is not None


def test_where_a_car_stands_at_each_changed_point(route: SmallRoute) -> None:
    route.up_to("W10")
    new = release(route, LIMIT, ARM, ("  - code: W10\n", NEW))
    old = route.job.procedure_revision
    change = car_change(route.record, Between.of(old, new))
    assert {p.code: (p.where, p.asks) for p in change.points} == {
        "C10": (Where.FINISHED, True),
        "C30": (Where.NEW, False),
        "W10": (Where.NOT_BEGUN, False),
        "A10": (Where.NOT_BEGUN, False),
    }
    assert {p.code for p in change.points} == touched_codes(old, new)


def test_new_drawings_touch_whatever_goes_by_them(route: SmallRoute) -> None:
    route.up_to("W10")
    new = release(route, ("layout: {}", "layout: {datum: moved}"))
    change = car_change(route.record, Between.of(route.job.procedure_revision, new))
    assert [p.code for p in change.asked] == ["C10", "C20"]
    assert touched_codes(route.job.procedure_revision, new) == {p.code for p in change.points}


def test_a_standing_time_corrected_stops_nothing_but_is_decided_before_release(route: SmallRoute) -> None:
    release(route, ("minutes: 120", "minutes: 130"))
    assert route.record.superseded is not None
    assert route.record.superseded.touched == frozenset()
    assert "revision:B" in {r.code for r in reasons_against_release(route.record, now=route.now)}


def test_the_next_revision_asks_again(route: SmallRoute) -> None:
    release(route, ARM)
    assert_accepted(decide(route, "carry_on", second=route.people["thorn"].pk))
    release(route, COUPON, name="C")
    assert route.record.superseded is not None
    assert route.record.superseded.new.revision == "C"
