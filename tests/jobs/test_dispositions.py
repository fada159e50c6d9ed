"""What a lead decides about what does not conform, at a desk and at the tablet; never their own work."""

import datetime as dt
import uuid

import pytest

from jobs.bad_input import BadInput
from jobs.gates.conditions import reasons_against_release
from jobs.models import Acceptance, Nonconformance
from parts.buying import Bought, buy
from parts.deliveries import CountedPart, Delivery
from parts.entering import Signed
from parts.expecting import expect
from parts.missing import missing_parts
from parts.models import ScrappedPart
from parts.receiving import last_seen, receive
from parts.reconciling import reconcile
from shop.entries import Answer
from shop.models import Certificate, SignedHow, Skill
from shop.verification import verify_record
from tests.jobs.bay import Bay
from tests.jobs.desk import PIN, Desk, give_pins
from tests.jobs.small_route import SmallRoute, assert_accepted

pytestmark = pytest.mark.django_db


def bad_torque(route: SmallRoute) -> None:
    """A suspension joint that does not conform, by a fabricator."""
    give_pins(route)
    route.up_to("A10")
    assert_accepted(route.send("start", "A10", "fenn"))
    assert route.read("A10.1", value="90").data["verdict"] == "does_not_conform"


def decide(route: SmallRoute, what: str, who: str = "lind", code: str = "A10", **more: object) -> Answer:
    payload = {"nonconformance": "1", "disposition": what, "reason": "Looked at it", **more}
    return route.send("disposition", code, who, SignedHow.PIN, **payload)


def test_use_as_is_on_a_safety_joint_takes_a_second_qualified_person(route: SmallRoute) -> None:
    bad_torque(route)
    assert "second qualified person" in str(decide(route, "use_as_is").data)
    assert_accepted(decide(route, "use_as_is", second=route.people["thorn"].pk))
    assert Acceptance.objects.get().second == route.people["thorn"]
    assert not route.record.open_nonconformances


def test_nobody_decides_about_their_own_work(route: SmallRoute) -> None:
    route.up_to("C20")
    assert_accepted(route.send("start", "C20", "lind"))
    assert_accepted(route.read("C20.1", "lind"))
    assert_accepted(route.read("C20.2", "lind", value="30"))
    assert "another lead" in str(decide(route, "use_as_is", code="C20").data)
    assert_accepted(decide(route, "use_as_is", "thorn", "C20"))


def test_rework_closes_when_it_is_read_again_and_conforms(route: SmallRoute) -> None:
    bad_torque(route)
    assert_accepted(decide(route, "rework"))
    assert route.record.open_nonconformances
    assert_accepted(route.read("A10.1"))
    assert not route.record.open_nonconformances


def test_a_scrapped_part_of_the_kit_is_missing_again(route: SmallRoute) -> None:
    """Named with its pieces, it is short on the order, and the car is not released without it."""
    bad_torque(route)
    assert not route.record.kit.shortages
    assert_accepted(decide(route, "scrap_reorder", part="TC-ARM", pieces="1"))
    (short,) = route.record.kit.shortages
    assert (short.part_number, short.short, short.here) == ("TC-ARM", 1, 1)
    assert ScrappedPart.objects.get().reason == "Looked at it"
    order = Desk(route, "pike").page("/parts/orders/K-9/")
    assert "1 scrapped in the work" in order
    assert "missing again" in order
    assert "short:TC-ARM" in [r.code for r in reasons_against_release(route.record, now=route.now)]
    assert verify_record().is_whole


def test_the_counter_is_told_at_once_and_covers_it_like_any_other(route: SmallRoute) -> None:
    """On the list of missing parts with the day its car needs it; a day told before is not its day."""
    order, pike = route.job.kit_order, route.people["pike"]
    arm = order.kit_revision.lines.get(part_number="TC-ARM")
    one_more = Bought(1, "Test hardware store", "TC-ARM-2")

    def by_counter() -> Signed:
        return Signed(uuid.uuid4(), last_seen(order), pike, SignedHow.DESK)

    route.count_kit(TC_ARM=1)
    day = {"eta": route.now.date() + dt.timedelta(days=9), "note": "by telephone", "now": route.now}
    assert_accepted(expect(order=order, part_number="TC-ARM", **day, **vars(by_counter())))
    assert_accepted(buy(order=order, line=arm, bought=one_more, signed=by_counter(), now=route.now))
    bad_torque(route)
    assert_accepted(decide(route, "scrap_reorder", part="TC-ARM", pieces="1"))
    listed = Desk(route, "pike").page("/parts/missing/")
    assert "1 scrapped in the work" in listed
    assert "Job 1001" in listed
    (row,) = missing_parts(now=route.now).rows
    assert (row.line.eta, row.needed_on) == (None, route.now.date())
    assert_accepted(buy(order=order, line=arm, bought=one_more, signed=by_counter(), now=route.now))
    assert not route.record.kit.shortages
    assert "1 of TC-ARM missing again" in Desk(route, "lind").page("/jobs/1001/")


def test_a_replacement_from_the_supplier_is_not_one_too_many(route: SmallRoute) -> None:
    bad_torque(route)
    assert_accepted(decide(route, "scrap_reorder", part="TC-ARM", pieces="1"))
    route.later(minutes=5)
    order = route.job.kit_order
    one = Delivery("", (CountedPart("TC-ARM", 1),))
    came = {"order": order, "signer": route.people["pike"], "signed_how": SignedHow.DESK, "now": route.now}
    assert_accepted(receive(delivery=one, entry_id=uuid.uuid4(), saw=last_seen(order), **came))
    (arm,) = (line for line in reconcile(order).lines if line.part_number == "TC-ARM")
    assert (arm.here, arm.short, arm.over_delivered) == (2, 0, 0)
    again = receive(delivery=one, entry_id=uuid.uuid4(), saw=last_seen(order), **came)
    assert not again.accepted


@pytest.mark.parametrize(
    ("sent", "field"),
    [
        ({"part": "TC-NONE", "pieces": "1"}, "part"),
        ({"part": "TC-ARM", "pieces": ""}, "pieces"),
        ({"part": "TC-ARM", "pieces": "-1"}, "pieces"),
        ({"part": "TC-ARM", "pieces": "3"}, "pieces"),
        ({"part": "TC-ARM", "pieces": "10^400"}, "pieces"),
        ({"part": "TC-ARM", "pieces": "1", "what": "rework"}, "part"),
    ],
)
def test_pieces_that_cannot_be_are_told_at_their_field(
    route: SmallRoute, sent: dict[str, str], field: str
) -> None:
    bad_torque(route)
    with pytest.raises(BadInput) as told:
        decide(route, sent.pop("what", "scrap_reorder"), **sent)
    assert list(told.value.errors) == [field]
    assert Nonconformance.objects.get().disposition == ""
    assert not ScrappedPart.objects.exists()


def test_whoever_welded_again_does_not_judge_it(route: SmallRoute) -> None:
    """Done once more, the first inspection is in doubt; the welder of the repair is nobody to judge it."""
    route.up_to("W50")
    again = {"repeat": "W30", "reason": "Ground out"}
    assert_accepted(route.send("operation_repeat", "W50", "lind", SignedHow.PIN, **again))
    assert_accepted(route.send("start", "W31", "thorn"))
    assert not route.record.find_checkpoint("W40.1").is_closed  # type: ignore[union-attr]
    assert not route.record.find_checkpoint("W40.2").is_closed  # type: ignore[union-attr]
    assert "is not finished" in str(route.read("W40.1", "lind").data)
    for number, given in (("1", {"go": "yes"}), ("2", {"count": "12"})):
        assert_accepted(route.send("reading", "W31", "thorn", checkpoint=f"W31.{number}", **given))
    route.later(minutes=61)
    assert_accepted(route.send("reading", "W31", "thorn", checkpoint="W31.3", go="yes"))
    assert_accepted(route.send("finish", "W31", "thorn"))
    assert "may not judge its welds" in str(route.read("W40.1", "thorn").data)
    assert_accepted(route.read("W40.1", "lind"))
    refused = route.send("start", "W50", "fenn").data["reasons"]
    assert "open:W40.2" in [r["code"] for r in refused] or "after:W40" in [r["code"] for r in refused]


def test_welds_made_a_third_time_are_judged_again_by_somebody_else(route: SmallRoute) -> None:
    """What repeats a repetition is still the work that the first inspection was about."""
    route.up_to("W50")
    for again, repeated, who in (("W31", "W30", "fenn"), ("W32", "W31", "thorn")):
        asked = {"repeat": repeated, "reason": "Ground out"}
        assert_accepted(route.send("operation_repeat", "W50", "lind", SignedHow.PIN, **asked))
        assert_accepted(route.send("start", again, who))
        assert not route.record.find_checkpoint("W40.1").is_closed  # type: ignore[union-attr]
        assert not route.record.find_checkpoint("W40.2").is_closed  # type: ignore[union-attr]
        weld_again(route, again, who)
        assert "may not judge its welds" in str(route.read("W40.1", who).data) or who == "fenn"
        assert_accepted(route.read("W40.1", "lind"))
        assert_accepted(route.read("W40.2"))
        assert_accepted(route.send("finish", "W40", "thorn", SignedHow.PIN))


def weld_again(route: SmallRoute, code: str, who: str) -> None:
    for number, given in (("1", {"go": "yes"}), ("2", {"count": "12"})):
        assert_accepted(route.send("reading", code, who, checkpoint=f"{code}.{number}", **given))
    route.later(minutes=61)
    assert_accepted(route.send("reading", code, who, checkpoint=f"{code}.3", go="yes"))
    assert_accepted(route.send("finish", code, who))


def test_whoever_took_up_the_work_of_another_does_not_judge_it(route: SmallRoute) -> None:
    """Taken over in the middle: hours were worked on it, though nothing else was signed."""
    route.up_to("W30")
    assert_accepted(route.send("start", "W30", "fenn"))
    assert_accepted(route.send("resume", "W30/resume/1", "thorn"))
    weld_again(route, "W30", "fenn")
    assert_accepted(route.send("start", "W40", "fenn"))
    assert "may not judge its welds" in str(route.read("W40.1", "thorn").data)


def test_a_lead_decides_at_the_tablet_by_name_and_pin(route: SmallRoute) -> None:
    bad_torque(route)
    bay = Bay(route)
    page = bay.page("A10")
    assert 'id="nonconformance-1"' in page
    given = {"nonconformance": "1", "disposition": "use_as_is", "reason": "It holds"}
    assert bay.enter("disposition", "A10", **given, person="fenn", pin=PIN).status_code == 422
    assert bay.enter("disposition", "A10", **given, person="lind", pin="0000").status_code == 422
    alone = bay.enter("disposition", "A10", **given, person="lind", pin=PIN)
    assert alone.status_code == 422
    assert "second qualified person" in alone.content.decode()
    assert "It holds" in alone.content.decode()
    wrong = {"second_username": "thorn", "second_pin": "0000"}
    assert bay.enter("disposition", "A10", **given, person="lind", pin=PIN, **wrong).status_code == 422
    both = {"second_username": "thorn", "second_pin": PIN}
    answer = bay.enter("disposition", "A10", **given, person="lind", pin=PIN, **both)
    assert answer.headers["Location"] == "/tablet/1001/A10/?at=nonconformance-1#nonconformance-1"
    assert Acceptance.objects.get().second == route.people["thorn"]


def test_no_form_names_a_second_person_without_their_pin(route: SmallRoute) -> None:
    bad_torque(route)
    given = {"nonconformance": "1", "disposition": "use_as_is", "reason": "It holds"}
    forged = {"second": route.people["thorn"].pk}
    answer = Bay(route).enter("disposition", "A10", **given, person="lind", pin=PIN, **forged)
    assert answer.status_code == 422
    assert not Acceptance.objects.exists()


def test_rework_that_nothing_measures_is_looked_at_by_a_lead_at_the_tablet(route: SmallRoute) -> None:
    give_pins(route)
    route.up_to("W50")
    assert_accepted(route.send("start", "W50", "fenn"))
    assert_accepted(route.send("problem", "W50", "fenn", text="Runs in the primer"))
    bay = Bay(route)
    send_back = {"nonconformance": "1", "disposition": "rework", "reason": "Sand and prime again"}
    bay.enter("disposition", "W50", **send_back, person="lind", pin=PIN)
    assert "Which lead looked at the rework?" in bay.page("W50")
    assert bay.enter("rework_checked", "W50", nonconformance="1", person="lind", pin=PIN).status_code == 302
    assert not route.record.open_nonconformances


def test_welds_are_judged_with_a_certificate_of_that_day_and_never_ones_own(route: SmallRoute) -> None:
    give_pins(route)
    route.up_to("W40")
    assert_accepted(route.send("start", "W40", "fenn"))
    assert "certificate valid today" in str(route.read("W40.1", "moss").data)
    assert "certificate valid today" in str(route.read("W40.1", "fenn").data)
    certificate = Certificate.objects.filter(person=route.people["lind"], skill=Skill.INSPECTION)
    certificate.update(valid_until=route.now.date().replace(day=1))
    assert "certificate valid today" in str(route.read("W40.1", "lind").data)
    bay = Bay(route)
    judged = {"checkpoint": "W40.1", "criterion_1": "yes", "criterion_2": "yes"}
    assert bay.enter("reading", "W40", **judged, person="thorn", pin=PIN).status_code == 302
    assert route.record.find_checkpoint("W40.1").is_closed  # type: ignore[union-attr]
