"""Cautions are read once in a turn where they apply; until then nothing goes on with the work."""

import pytest

from jobs.models import CautionSeen, Nonconformance, Operation, Result
from shop.models import SignedHow, Turn
from shop.tablets import end_turn
from shop.verification import verify_record
from tests.jobs.bay import Bay
from tests.jobs.desk import PIN, Desk, give_pins
from tests.jobs.small_route import SmallRoute, assert_accepted

SAID = [{"signal": "DANGER", "text": "Never under a car on a jack alone."}]


@pytest.fixture
def bay(route: SmallRoute) -> Bay:
    """Fenn has their turn; T10 has a caution and may be started."""
    give_pins(route)
    route.up_to("T10")
    Operation.objects.filter(code="T10").update(cautions=SAID)
    return Bay(route)


def test_the_cautions_stand_alone_until_they_are_read(bay: Bay) -> None:
    page = bay.page("T10")
    assert "Never under a car" in page
    assert "I have read this" in page
    assert 'id="T10.1"' not in page
    assert "Stop: problem" in page
    assert bay.enter("start", "T10").status_code == 422
    assert bay.enter("cautions_seen", "T10").status_code == 302
    page = bay.page("T10")
    assert "I have read this" not in page
    assert 'id="T10.1"' in page
    assert bay.enter("start", "T10").status_code == 302
    seen = CautionSeen.objects.get()
    assert (seen.cautions, seen.turn) == (SAID, Turn.objects.get())
    # The operation itself was given something for this test.
    assert [f.where for f in verify_record().findings if "jobs.operation:" not in f.where] == []


def test_once_is_enough_in_a_turn_and_the_next_turn_asks_anew(bay: Bay) -> None:
    bay.enter("cautions_seen", "T10")
    bay.enter("cautions_seen", "T10")
    assert CautionSeen.objects.count() == 1
    bay.enter("start", "T10")
    end_turn(Turn.objects.get(), now=bay.route.now)
    bay.post("/tablet/turn/", {"username": "moss", "pin": PIN})
    assert "I have read this" in bay.page("T10")
    assert bay.enter("reading", "T10", checkpoint="T10.1", go="yes").status_code == 422
    assert bay.enter("cautions_seen", "T10").status_code == 302
    assert bay.enter("reading", "T10", checkpoint="T10.1", go="yes").status_code == 302


def test_what_was_entered_before_they_were_read_stands_there_again(bay: Bay) -> None:
    bay.enter("cautions_seen", "T10")
    bay.enter("start", "T10")
    CautionSeen.objects.update(turn=None)
    held = bay.enter("reading", "T10", checkpoint="T10.1", go="no", reason="half typed").content.decode()
    assert "Read the cautions of T10 first" in held
    assert 'name="kept_p_go" value="no"' in held
    kept = {"kept_number": "1001", "kept_subject": "T10", "kept_at": "T10.1", "kept_p_go": "no"}
    data = {
        "entry_id": "6f0f2d1e-7f0b-4c59-9d6b-0f4a4c6f1a11",
        "saw": "",
        "kind": "cautions_seen",
        "subject": "T10",
    }
    again = bay.post("/tablet/1001/entries/", {**data, **kept})
    assert again.status_code == 200
    assert 'name="p_go" value="no" checked' in again.content.decode()
    assert not Result.objects.filter(checkpoint__code="T10.1").exists()


def test_a_problem_and_a_pause_are_never_held(bay: Bay) -> None:
    assert bay.enter("problem", "T10", text="Stand slips").status_code == 302
    assert bay.enter("note", "T10", text="Left stand slips").status_code == 302
    assert Nonconformance.objects.count() == 1


def test_a_desk_and_a_pin_are_not_asked(bay: Bay) -> None:
    route = bay.route
    assert_accepted(route.send("start", "T10", "fenn", SignedHow.DESK))
    assert not route.send("reading", "T10", "fenn", checkpoint="T10.1", go="yes").accepted
    assert_accepted(route.send("reading", "T10", "lind", SignedHow.PIN, checkpoint="T10.1", go="yes"))
    assert "I have read this" not in Desk(route, "lind").page("/jobs/1001/T10/")


def test_an_operation_without_cautions_asks_nothing(bay: Bay) -> None:
    Operation.objects.filter(code="T10").update(cautions=[])
    assert "I have read this" not in bay.page("T10")
    assert bay.enter("cautions_seen", "T10").status_code == 422
    assert bay.enter("start", "T10").status_code == 302


def test_what_cannot_be_started_shows_why_instead(route: SmallRoute) -> None:
    give_pins(route)
    Operation.objects.filter(code="T10").update(cautions=SAID)
    page = Bay(route).page("T10")
    assert "has not allowed the car to be cut" in page
    assert "I have read this" not in page
