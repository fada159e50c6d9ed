"""Time at work: begun with the work, stopped by pauses and turns, set right without being overwritten."""

import datetime as dt

import pytest

from jobs.models import BookedTime, EndedBy, TimeCorrection
from jobs.recording.turn_end import close_what_was_left
from shop.models import SignedHow, Turn
from shop.tablets import end_lapsed, end_turn
from shop.verification import verify_record
from tests.jobs.bay import Bay
from tests.jobs.desk import Desk, give_pins
from tests.jobs.small_route import SmallRoute, assert_accepted


@pytest.fixture
def begun(route: SmallRoute) -> SmallRoute:
    """T10 may be started, at two minutes past eight by the shop's clock."""
    give_pins(route)
    route.up_to("T10")
    route.later(minutes=2)
    return route


@pytest.fixture
def bay(begun: SmallRoute) -> Bay:
    """Fenn has their turn and has started T10."""
    bay = Bay(begun)
    assert bay.enter("start", "T10").status_code == 302
    return bay


def fenns() -> BookedTime:
    return BookedTime.objects.get(person__username="fenn")


def booked(who: str = "fenn") -> list[tuple[float | None, str, str]]:
    """Minutes, by what it ended, and why; the oldest first."""
    rows = BookedTime.objects.filter(person__username=who).order_by("pk")
    return [
        (None if r.ended_at is None else (r.ended_at - r.began_at).seconds / 60, r.ended_by, r.reason)
        for r in rows
    ]


def test_time_runs_from_the_start_to_the_end_and_stops_for_a_break(begun: SmallRoute, bay: Bay) -> None:
    begun.later(minutes=30)
    assert_accepted(begun.send("pause", "T10/pause/1", "fenn", reason="Break"))
    begun.later(minutes=15)
    assert not begun.send("pause", "T10/pause/2", "fenn", reason="Break").accepted
    assert_accepted(begun.send("resume", "T10/resume/1", "fenn"))
    begun.later(minutes=20)
    assert_accepted(begun.read("T10.1"))
    assert_accepted(begun.send("finish", "T10", "fenn"))
    assert booked() == [(30, EndedBy.PAUSED, "Break"), (20, EndedBy.FINISHED, "")]
    assert not begun.send("resume", "T10/resume/2", "fenn").accepted
    assert verify_record().is_whole


def test_whoever_records_is_at_work_and_at_one_thing_at_a_time(begun: SmallRoute, bay: Bay) -> None:
    begun.later(minutes=10)
    assert_accepted(begun.send("pause", "T10/pause/1", "fenn", reason="Break"))
    begun.later(minutes=10)
    assert_accepted(begun.read("T10.1"))
    assert_accepted(begun.read("T10.1", "moss", reason="A second look"))
    assert_accepted(begun.send("finish", "T10", "fenn"))
    assert [why for _minutes, why, _reason in booked() + booked("moss")] == [
        EndedBy.PAUSED,
        EndedBy.FINISHED,
        EndedBy.FINISHED,
    ]
    assert_accepted(begun.send("start", "T20", "fenn"))
    assert BookedTime.objects.get(ended_at=None).job_operation.operation.code == "T20"


def test_a_turn_that_ends_takes_its_time_along(begun: SmallRoute, bay: Bay) -> None:
    begun.later(minutes=12)
    assert bay.post("/tablet/turn/end/", {}).status_code == 302
    begun.later(minutes=50)
    assert booked()[-1][:2] == (12, EndedBy.TURN_ENDED)


def test_a_turn_left_open_overnight_ends_with_the_working_day(begun: SmallRoute, bay: Bay) -> None:
    bay.enter("reading", "T10", checkpoint="T10.1", go="yes")
    begun.later(hours=20)
    page = bay.get("/tablet/").content.decode()
    assert "Begin your turn" in page
    closing = dt.datetime(2026, 3, 2, 16, 0, tzinfo=dt.timezone(dt.timedelta(hours=-6)))
    assert Turn.objects.get().ended_at == closing
    assert fenns().ended_at == closing
    assert fenns().ended_by == EndedBy.TURN_ENDED
    assert verify_record().is_whole


def test_who_worked_on_after_closing_is_booked_until_the_last_entry(begun: SmallRoute, bay: Bay) -> None:
    begun.later(hours=9, minutes=30)
    bay.enter("reading", "T10", checkpoint="T10.1", go="yes")
    last = begun.now
    assert not end_lapsed(Turn.objects.get(), now=begun.now)
    begun.later(hours=12)
    assert end_lapsed(Turn.objects.get(), now=begun.now)
    assert Turn.objects.get().ended_at == last


def test_what_nobody_saw_is_closed_by_the_clock_and_only_once(begun: SmallRoute, bay: Bay) -> None:
    assert close_what_was_left(now=begun.now + dt.timedelta(hours=5)) == 0
    assert close_what_was_left(now=begun.now + dt.timedelta(days=3)) == 1
    assert close_what_was_left(now=begun.now + dt.timedelta(days=3)) == 0
    assert fenns().ended_at is not None


def test_the_next_persons_turn_closes_what_the_one_before_left(begun: SmallRoute, bay: Bay) -> None:
    begun.later(minutes=5)
    answer = bay.post("/tablet/turn/", {"username": "moss", "pin": "4711"})
    assert answer.status_code == 302
    assert booked() == [(5, EndedBy.TURN_ENDED, "")]


def test_a_lead_sets_time_right_and_both_stay(begun: SmallRoute, bay: Bay) -> None:
    begun.later(minutes=30)
    assert_accepted(begun.send("pause", "T10/pause/1", "fenn", reason="Break"))
    row = fenns()
    given = {"booked": row.pk, "began": "2026-03-02 07:45", "ended": "2026-03-02 08:20", "reason": "Forgot"}
    subject = f"T10/time/{row.pk}"
    assert Desk(begun, "fenn").enter("time_correction", subject, **given).status_code == 422
    lead = Desk(begun, "lind")
    assert "08:32" in lead.page("/jobs/1001/T10/")
    for wrong in (
        {"ended": "2026-03-02 07:00"},
        {"ended": "soon"},
        {"ended": "2026-03-02 23:00"},
        {"reason": ""},
    ):
        assert lead.enter("time_correction", subject, **{**given, **wrong}).status_code == 422
    assert lead.enter("time_correction", subject, **given).status_code == 302
    assert TimeCorrection.objects.get().booked == row
    page = lead.page("/jobs/1001/T10/")
    assert "35 min" in page
    assert "Forgot" in page
    assert booked() == [(30, EndedBy.PAUSED, "Break")]


def test_running_time_is_not_set_right(begun: SmallRoute, bay: Bay) -> None:
    row = fenns()
    begun.later(minutes=30)
    given = {"booked": str(row.pk), "began": "2026-03-02 08:00", "ended": "2026-03-02 08:20", "reason": "x"}
    answer = begun.send("time_correction", "T10/time/1", "lind", SignedHow.DESK, **given)
    assert "still at work" in answer.data["message"]


def test_the_tablet_shows_time_worked_beside_the_standard(begun: SmallRoute, bay: Bay) -> None:
    begun.later(minutes=75)
    assert "1 h 15 min" in bay.page("T10")
    assert "1 h 15 min" in bay.get("/tablet/").content.decode()
    end_turn(Turn.objects.get(), now=begun.now)
