"""Each weld on paper: who made it, with what, who looked at it, what came of it, and what is left."""

import pytest

from jobs.papers.weld_record import WeldRecord
from tests.jobs import small_route
from tests.jobs.cradle_files import WELD_PROCEDURE
from tests.jobs.desk import give_pins
from tests.jobs.papers.conftest import Read
from tests.jobs.small_route import SmallRoute, assert_accepted

RUN = {"settings": "19 V, 260 in/min", "lot": "W-77"}


@pytest.fixture
def route(db: None, monkeypatch: pytest.MonkeyPatch) -> SmallRoute:
    """At the welds: three tacked, one of them welded."""
    monkeypatch.setattr(small_route, "PROCEDURE", WELD_PROCEDURE)
    route = SmallRoute()
    give_pins(route)
    route.up_to("W20")
    route.send("start", "W20", "fenn")
    route.read("W20.1")
    for code in ("L1", "L2", "R1"):
        assert_accepted(route.send("weld_made", "W20", "fenn", weld=code, **RUN))
    route.read("W20.2")
    route.send("finish", "W20", "fenn", "pin")
    route.send("start", "W30", "fenn")
    route.read("W30.1")
    assert_accepted(route.send("weld_made", "W30", "fenn", weld="L1", **RUN))
    return route


def rest(route: SmallRoute) -> None:
    for code in ("R1", "L2", "S1"):
        assert_accepted(route.send("weld_made", "W30", "fenn", weld=code, **RUN))
    route.read("W30.2")
    route.later(minutes=61)
    route.read("W30.3")
    route.send("finish", "W30", "fenn", "pin")
    route.send("start", "W40", "thorn")


def test_the_traveler_draws_what_is_left(route: SmallRoute, read: Read) -> None:
    words = read("traveler")
    assert "Weld map: 0 accepted, 4 left" in words
    for told in (
        "L1 plug weld, left made, not looked at Fenn; 19 V, 260 in/min; W-77",
        "L2 plug weld, left tacked",
        "S1 seam 3/16 in, right to do",
    ):
        assert told in words, told


def test_the_handover_has_each_weld_with_its_repair(route: SmallRoute, read: Read) -> None:
    rest(route)
    said = {f"w_{code}": "yes" for code in ("L1", "R1", "S1")} | {"w_L2": "no"}
    assert_accepted(route.read("W40.1", "lind", **said))
    words = read("handover")
    assert "3 of 4 welds of the map are accepted. Left: L2 (to be repaired)." in words
    decided = {"nonconformance": "1", "disposition": "rework", "reason": "Grind it out and fill it"}
    assert_accepted(route.send("disposition", "W40", "thorn", "pin", **decided))
    assert_accepted(route.send("weld_made", "W30", "fenn", weld="L2", **RUN))
    record = WeldRecord.of(route.record)
    assert [line.standing.code for line in record.left] == ["L2"]
    for code in ("W30.2", "W30.3"):
        route.later(minutes=61)
        assert_accepted(route.read(code, reason="After the repair"))
    assert_accepted(route.send("finish", "W30", "fenn", "pin"))
    answer = route.read("W40.1", "lind", reason="After the repair", **(said | {"w_L2": "yes"}))
    assert_accepted(answer)
    words = read("handover")
    assert "4 of 4 welds of the map are accepted." in words
    for told in (
        "Weld record",
        "Tacked: Fenn",
        "Welded: Fenn",
        "Repaired: Fenn",
        "19 V, 260 in/min; lot W-77; coupon W10.1",
        "by the criteria of W40.1",
        "accepted repaired once",
    ):
        assert told in words, told


def test_a_procedure_without_a_map_asks_for_none(
    monkeypatch: pytest.MonkeyPatch, db: None, django_assert_num_queries: object
) -> None:
    monkeypatch.undo()
    route = SmallRoute()
    record = route.record
    with django_assert_num_queries(0):  # type: ignore[operator]
        assert WeldRecord.of(record).lines == ()
