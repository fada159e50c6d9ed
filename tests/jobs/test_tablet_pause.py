"""Leaving an operation: a reason in one touch, or a word to the next shift."""

import pytest

from jobs.models import BookedTime, EndedBy, WorkNote
from tests.jobs.bay import Bay
from tests.jobs.desk import give_pins
from tests.jobs.small_route import SmallRoute


@pytest.fixture
def begun(route: SmallRoute) -> SmallRoute:
    give_pins(route)
    route.up_to("T10")
    return route


@pytest.fixture
def bay(begun: SmallRoute) -> Bay:
    """Fenn has their turn and has started T10."""
    bay = Bay(begun)
    assert bay.enter("start", "T10").status_code == 302
    return bay


def test_a_hand_over_is_the_first_thing_that_the_next_one_sees(begun: SmallRoute, bay: Bay) -> None:
    begun.later(minutes=25)
    assert bay.enter("hand_over", "T10", text=" ").status_code == 422
    assert bay.enter("hand_over", "T10", text="Left stand is on a shim").status_code == 302
    row = BookedTime.objects.get(person__username="fenn")
    assert (row.ended_by, row.ended_at) == (EndedBy.HANDED_OVER, begun.now)
    assert WorkNote.objects.get().is_hand_over
    own = bay.page("T10")
    assert own.count("Left stand is on a shim") == 1
    other = Bay(begun, "moss").page("T10")
    first = other.index("Left stand is on a shim")
    assert first < other.index('<section id="T10"')
    assert "Go on with T10" in other
    first_screen = Bay(begun, "moss").get("/tablet/").content.decode()
    assert first_screen.index("Left stand is on a shim") < first_screen.index("Go to T10")


def test_each_reason_is_one_touch_and_stops_the_time(begun: SmallRoute, bay: Bay) -> None:
    page = bay.get("/tablet/1001/T10/pause/").content.decode()
    assert page.count('name="kind" value="pause"') > 4
    answer = bay.enter("pause", "T10", reason="Waiting for parts")
    assert (answer.status_code, answer["Location"]) == (302, "/tablet/")
    assert BookedTime.objects.get(person__username="fenn").reason == "Waiting for parts"
    assert "Your time does not run here" in bay.get("/tablet/1001/T10/pause/").content.decode()
