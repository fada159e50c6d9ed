"""The bay's page: whose turn it is, the car and what is to be done on it."""

import pytest

from jobs.models import Job
from shop.models import Turn
from tests.jobs.bay import Bay
from tests.jobs.desk import PIN, give_pins
from tests.jobs.small_route import SmallRoute


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
