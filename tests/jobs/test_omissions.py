"""Operations that do not apply to one car: left out by name, never what a later gate stands on."""

import pytest
from django.test import Client
from django.urls import reverse

from jobs.changes import changes_of
from jobs.models import Omission
from shop.entries import Answer
from shop.models import SignedHow
from shop.verification import verify_record
from tests.jobs.small_route import SmallRoute, assert_accepted
from tests.jobs.test_additions import add

pytestmark = pytest.mark.django_db


def omit(route: SmallRoute, code: str, who: str = "lind", how: str = SignedHow.PIN, **more: object) -> Answer:
    return route.send("omit", code, who, how, **{"reason": "This car has none", **more})


def told(answer: Answer) -> str:
    return str(answer.data.get("message", ""))


def state(route: SmallRoute, code: str) -> str:
    return route.record.find(code).state  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("code", "says"),
    [
        ("I10", "C20 asks for: baseline dimensions"),
        ("T20", "C20 asks for: level"),
        ("C10", "C20 asks for: marks read by a second person"),
        ("W10", "W30 asks for: test coupon"),
        ("W20", "W30 asks for: tacked position"),
        ("W30", "the fire watch of W20 is kept in it"),
        ("W40", "the welds of W30 are judged at W40.1"),
        ("A10", "L10 asks for the joint A10.4"),
        ("A20", "L10 asks for: brakes hold"),
        ("A10", "a car that is handed over needs the joint A10.1"),
    ],
)
def test_what_a_later_gate_stands_on_cannot_be_left_out(route: SmallRoute, code: str, says: str) -> None:
    answer = omit(route, code, second=route.people["thorn"].pk)
    assert says in told(answer)
    assert not Omission.objects.exists()


@pytest.mark.parametrize("code", ["T10", "C20", "W50", "L10"])
def test_what_nothing_stands_on_is_left_out_and_taken_back(route: SmallRoute, code: str) -> None:
    assert_accepted(omit(route, code))
    assert state(route, code) == "not_applicable"
    assert [(c.name, c.is_in_force) for c in changes_of(route.record)] == [("Not applicable", True)]
    assert_accepted(route.send("omit_take_back", code, "thorn", SignedHow.PIN))
    assert state(route, code) == "waiting"
    assert [c.is_in_force for c in changes_of(route.record)] == [False]
    assert verify_record().is_whole


def test_what_has_safety_joints_in_it_goes_with_a_second_person(route: SmallRoute) -> None:
    """Joints that were to be tightened once more; the route's own are never left out."""
    route.up_to("A20")
    assert_accepted(route.send("operation_repeat", "A20", "lind", SignedHow.PIN, repeat="A10", reason="r"))
    assert "second qualified person" in told(omit(route, "A11"))
    assert "signed here already" in told(omit(route, "A11", second=route.people["lind"].pk))
    assert "neither a lead" in told(omit(route, "A11", second=route.people["moss"].pk))
    assert_accepted(omit(route, "A11", second=route.people["thorn"].pk))
    assert Omission.objects.get(job_operation__operation__code="A11").second == route.people["thorn"]


def test_left_out_it_hands_on_what_had_to_come_before_it(route: SmallRoute) -> None:
    """What waits for it waits for those before it; no way leads around them."""
    route.up_to("W40")
    assert_accepted(omit(route, "W50"))
    refused = route.send("start", "A10", "fenn").data["reasons"]
    assert "after:W40" in [reason["code"] for reason in refused]


def test_an_addition_in_front_of_it_is_still_waited_for(route: SmallRoute) -> None:
    route.up_to("W40")
    route.do("W40")
    assert_accepted(add(route, "W50"))
    assert_accepted(omit(route, "W50"))
    refused = route.send("start", "A10", "fenn").data["reasons"]
    assert "after:W51" in [reason["code"] for reason in refused]
    assert_accepted(omit(route, "W51"))
    assert_accepted(route.send("start", "A10", "fenn"))


def test_hot_work_that_was_added_can_be_taken_out_again(route: SmallRoute) -> None:
    """The customer said no. The watch that belongs to its own sparks goes with it."""
    route.up_to("W10")
    assert_accepted(add(route, "W10", flag_hot_work="yes"))
    assert_accepted(omit(route, "W11", second=route.people["thorn"].pk))
    assert_accepted(route.send("start", "W10", "fenn"))


@pytest.mark.parametrize(
    ("who", "how", "says"),
    [
        ("fenn", SignedHow.PIN, "This is done by: Lead"),
        ("ash", SignedHow.PIN, "This is done by: Lead"),
        ("lind", SignedHow.DESK, "PIN"),
    ],
)
def test_a_lead_signs_it_with_the_pin(route: SmallRoute, who: str, how: str, says: str) -> None:
    assert says in told(omit(route, "W50", who, how))


def test_what_has_begun_is_not_left_out(route: SmallRoute) -> None:
    route.up_to("W50")
    assert_accepted(route.send("start", "W50", "fenn"))
    assert "only what has not begun" in told(omit(route, "W50"))
    assert "is not left out" in told(route.send("omit_take_back", "W50", "lind", SignedHow.PIN))


def test_the_job_page_says_it_with_name_and_reason(client: Client, route: SmallRoute) -> None:
    assert_accepted(omit(route, "W50"))
    client.force_login(route.people["lind"])
    page = client.get(reverse("jobs:job", args=[route.job.number])).content.decode()
    assert "Not applicable" in page
    assert "This car has none" in page


def test_a_road_test_left_out_takes_no_joint_and_no_brake_with_it(route: SmallRoute) -> None:
    """A car that is released is driven away, whether or not its route drives it."""
    assert_accepted(omit(route, "L10"))
    second = route.people["thorn"].pk
    assert "a car that is handed over needs: brakes hold" in told(omit(route, "A20", second=second))
    assert "needs the joint A10.1" in told(omit(route, "A10", second=second))
