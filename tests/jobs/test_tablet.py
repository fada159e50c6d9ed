"""The bay's page: whose turn it is, the car and what is to be done on it."""

import pytest

from jobs.assigning import assign
from jobs.models import Job, Operation
from shop.actions import TURN_ROLES
from shop.models import Person, Turn
from tests.jobs.bay import Bay
from tests.jobs.desk import PIN, give_pins
from tests.jobs.small_route import SmallRoute, assert_accepted


@pytest.fixture
def bay(route: SmallRoute) -> Bay:
    give_pins(route)
    return Bay(route, "")


def test_a_turn_begins_by_name_and_pin(bay: Bay) -> None:
    assert "Begin your turn" in bay.get("/tablet/").content.decode()
    assert bay.post("/tablet/turn/", {"username": "fenn", "pin": PIN}).status_code == 302
    page = bay.get("/tablet/").content.decode()
    assert "Fenn" in page
    assert "Book the car in" in page


def test_where_nobody_can_begin_it_says_what_comes_before(route: SmallRoute) -> None:
    """A shop that is being set up: a manager and a tablet are there, nobody yet who works at it."""
    Person.objects.filter(role__in=TURN_ROLES).update(is_active=False)
    page = Bay(route, "").get("/tablet/").content.decode()
    assert "Nobody can begin a turn yet" in page
    assert "begin-turn" not in page


def test_a_wrong_pin_begins_nothing_and_the_name_stays_chosen(bay: Bay) -> None:
    answer = bay.post("/tablet/turn/", {"username": "fenn", "pin": "0000"})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "not the PIN of Fenn" in page
    assert 'value="fenn" required checked' in page
    assert not Turn.objects.exists()


def test_without_a_name_it_asks_for_one(bay: Bay) -> None:
    answer = bay.post("/tablet/turn/", {"pin": PIN})
    assert answer.status_code == 422
    assert "Choose your name" in answer.content.decode()


def test_ending_the_turn_leaves_nobody_in_it(route: SmallRoute) -> None:
    give_pins(route)
    bay = Bay(route)
    bay.post("/tablet/turn/end/", {})
    assert Turn.objects.get().ended_at is not None
    assert bay.get("/tablet/1001/I10/").headers["Location"] == "/tablet/"


def test_only_those_who_work_at_a_tablet_are_offered(bay: Bay) -> None:
    page = bay.get("/tablet/").content.decode()
    assert 'value="moss"' in page
    assert 'value="ash"' not in page


def test_the_next_operation_is_proposed_with_the_reason(route: SmallRoute) -> None:
    give_pins(route)
    route.up_to("W20")
    page = Bay(route).get("/tablet/").content.decode()
    assert "Next on the route" in page
    assert "Go to W20" in page
    assert_accepted(route.send("start", "W20", "fenn"))
    assert "You are at it" in Bay(route).get("/tablet/").content.decode()
    other = Bay(route, "moss").get("/tablet/").content.decode()
    assert "Go to W20" not in other


def test_who_finishes_is_offered_what_comes_next_there_and_then(route: SmallRoute) -> None:
    give_pins(route)
    route.up_to("C20")
    page = Bay(route).page("C10")
    assert "Go on: C20" in page
    assert "Next on the route" in page


def test_whoever_was_put_onto_an_operation_is_offered_it_first(route: SmallRoute) -> None:
    give_pins(route)
    route.up_to("C20")
    operation = route.record.find("W10")
    assert operation is not None
    Operation.objects.filter(code="W10").update(after=[])
    assign(
        route.job,
        route.people["moss"],
        operation=operation.job_operation,
        by=route.people["ash"],
        now=route.now,
    )
    assert "Go to W10" in Bay(route, "moss").get("/tablet/").content.decode()
    assert "Go to C20" in Bay(route, "fenn").get("/tablet/").content.decode()


def test_what_cannot_be_started_says_why_at_once(route: SmallRoute) -> None:
    give_pins(route)
    route.do("I10", "wren")
    page = Bay(route).get("/tablet/").content.decode()
    assert "It cannot be started yet" in page
    assert "has not allowed the car to be cut" in page


def test_an_empty_bay_says_so(route: SmallRoute) -> None:
    give_pins(route)
    bay = Bay(route)
    Job.objects.update(bay=None)
    assert "No car in this bay" in bay.get("/tablet/").content.decode()


def test_a_revoked_tablet_is_none(route: SmallRoute) -> None:
    give_pins(route)
    bay = Bay(route)
    bay.tablet.revoked_at = route.now
    bay.tablet.save()
    answer = bay.get("/tablet/")
    assert answer.status_code == 403
    assert "not a tablet of a bay" in answer.content.decode()
