"""The weld map on the tablet: each weld tacked, made, looked at by somebody else, repaired."""

import datetime as dt

import pytest

from jobs.bay.weld_page import weld_page
from jobs.gates.fire_watch import fire_watch_not_over
from jobs.models import LotUse, WeldMade
from jobs.procedures.bringing_in import check_procedure
from shop.entries import Answer
from shop.file_errors import FileErrors
from tests.jobs import small_route
from tests.jobs.bay import Bay
from tests.jobs.cradle_files import WELD_PROCEDURE
from tests.jobs.desk import Desk, give_pins
from tests.jobs.small_route import NOW, SmallRoute, assert_accepted

pytestmark = pytest.mark.django_db
RUN = {"settings": "19 V, 260 in/min", "lot": "W-77"}


@pytest.fixture
def route(monkeypatch: pytest.MonkeyPatch) -> SmallRoute:
    monkeypatch.setattr(small_route, "PROCEDURE", WELD_PROCEDURE)
    return SmallRoute()


def weld(route: SmallRoute, code: str, operation: str = "W30", who: str = "fenn", **run: str) -> Answer:
    return route.send("weld_made", operation, who, weld=code, **{**RUN, **run})


def test_every_weld_is_accounted_for_from_tack_to_repair(route: SmallRoute) -> None:
    give_pins(route)
    route.up_to("W20")
    assert_accepted(route.send("start", "W20", "fenn"))
    refused = weld(route, "L1", "W20")
    assert "may not go on yet" in refused.data["message"]  # no permit, no spark
    assert_accepted(route.read("W20.1"))
    bay = Bay(route)
    assert "3 welds" in bay.page("W20")
    for code in ("L1", "R1"):
        assert weld(route, code, "W20").data["step"] == "tack"
    assert not weld(route, "L2", "W20", "moss").accepted
    assert_accepted(route.read("W20.2"))
    assert_accepted(route.send("finish", "W20", "fenn", "pin"))
    assert_accepted(route.send("start", "W30", "fenn"))
    assert_accepted(route.read("W30.1"))
    early = weld(route, "L2")
    assert early.data["message"].startswith("L2 is not tacked yet; tack it in W20")

    page = bay.page("W30/welds")
    assert "0 done here, <b>4 left</b>" in page
    assert 'class="weld weld-tacked' in page
    answer = bay.enter("weld_made", "W30", weld="L1", settings="", lot="W-77")
    assert (answer.status_code, "Enter the settings" in answer.content.decode()) == (422, True)
    answer = bay.enter("weld_made", "W30", weld="L1", **RUN)
    assert answer.headers["Location"] == f"/tablet/{route.job.number}/W30/welds/"
    page = bay.page("W30/welds")
    assert "other side than L1" in page
    made = WeldMade.objects.get(weld="L1", step="weld")
    assert made.coupon is not None
    assert made.coupon.checkpoint.code == "W10.1"

    assert LotUse.objects.filter(lot="W-77").count() == 2  # once at the tacks, once at the welds
    desk = Desk(route, "ash").get(f"/jobs/{route.job.number}/W30/").content.decode()
    assert "19 V, 260 in/min" in desk
    _finish_without_l2(route)
    assert "not recorded as made: L2" in _look(route).data["message"]
    assert not route.send("start", "W50", "fenn").accepted


def _finish_without_l2(route: SmallRoute) -> None:
    """L2 was forgotten at the tacks: it is named, and nothing is judged before it is made."""
    assert_accepted(route.read("W30.2"))
    weld(route, "R1")
    weld(route, "S1")
    route.later(minutes=61)
    assert_accepted(route.read("W30.3"))
    assert_accepted(route.send("finish", "W30", "fenn", "pin"))
    assert_accepted(route.send("start", "W40", "thorn"))


def _look(route: SmallRoute, **changed: str) -> Answer:
    said = {f"w_{code}": "yes" for code in ("L1", "L2", "R1", "S1")}
    return route.read("W40.1", "lind", **{**said, **changed})


def test_a_weld_to_be_repaired_is_named_made_again_and_watched_again(route: SmallRoute) -> None:
    route.up_to("W20")
    route.send("start", "W20", "fenn")
    route.read("W20.1")
    for code in ("L1", "L2", "R1"):
        assert_accepted(weld(route, code, "W20"))
    route.read("W20.2")
    route.send("finish", "W20", "fenn", "pin")
    route.send("start", "W30", "fenn")
    route.read("W30.1")
    for code in ("L1", "R1", "L2", "S1"):
        assert_accepted(weld(route, code))
    route.read("W30.2")
    last = route.now
    watch = route.record.find_checkpoint("W30.3")
    route.later(minutes=59)
    assert fire_watch_not_over(route.record, watch, now=route.now) is not None
    route.later(minutes=2)
    assert fire_watch_not_over(route.record, watch, now=route.now) is None
    assert route.record.last_hot_work(up_to=99) == last
    assert_accepted(route.read("W30.3"))
    assert_accepted(route.send("finish", "W30", "fenn", "pin"))
    assert_accepted(route.send("start", "W40", "thorn"))
    assert not route.read("W40.1", "fenn", w_L1="yes", w_L2="yes", w_R1="yes", w_S1="yes").accepted
    judged = _look(route, w_L2="no")
    assert (judged.data["verdict"], "weld L2" in judged.data["explanation"]) == ("does_not_conform", True)
    decided = {"nonconformance": "1", "disposition": "rework", "reason": "Grind it out and fill it"}
    assert_accepted(route.send("disposition", "W40", "thorn", "pin", **decided))
    answer = weld(route, "L2")
    assert answer.data.get("step") == "repair", answer.data
    watch = route.record.find_checkpoint("W30.3")
    assert watch is not None
    assert not watch.is_closed
    left = fire_watch_not_over(route.record, watch, now=route.now + dt.timedelta(minutes=59))
    assert left is not None


def test_a_fire_watch_outlives_a_closed_tablet(route: SmallRoute) -> None:
    give_pins(route)
    route.up_to("W30")
    route.send("start", "W30", "fenn")
    route.read("W30.1")
    route.read("W30.2")
    page = Bay(route).page("W30")
    assert 'data-watch-until="' in page
    assert "Cautions for hot work" in page
    refused = route.read("W30.3")
    assert "The fire watch is not over" in refused.data["message"]
    # The tablet is put away; another comes an hour later. Sparks at the half hour have begun it again.
    route.later(minutes=30)
    assert_accepted(route.read("W30.2", reason="Counted again"))
    route.later(minutes=45)
    assert "data-watch-until" in Bay(route).page("W30")
    route.later(minutes=16)
    page = Bay(route).page("W30")
    assert "data-watch-until" not in page
    assert "Who kept the watch" in page
    answer = route.read("W30.3", watch="Moss and  Lind")
    assert answer.data["verdict"] == "conforms"
    kept = route.record.find_checkpoint("W30.3")
    assert kept is not None
    assert kept.current is not None
    assert kept.current.readings == {"go": "yes", "watch": "Moss and Lind"}


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("made_in: W30, tacked_in: W20", "made_in: W50, tacked_in: W20", "W50 is no operation with hot work"),
        ("inspected_at: W40.1", "inspected_at: W40.2", "no checkpoint at which welds are judged"),
        ("code: L2, kind: plug", "code: L1, kind: plug", "stands twice"),
        ('at: "1 in, 1 in"', 'at: "1 in"', "write both figures"),
        ("kind: seam", "kind: bead", "“bead” is none of: plug, seam"),
    ],
)
def test_a_map_with_a_fault_rejects(old: str, new: str, says: str) -> None:
    with pytest.raises(FileErrors, match=says):
        check_procedure(WELD_PROCEDURE.replace(old, new, 1).encode(), now=NOW)


def test_the_next_weld_keeps_to_the_groups_of_the_map(monkeypatch: pytest.MonkeyPatch) -> None:
    grouped = WELD_PROCEDURE.replace("kind: plug,", "kind: plug, group: 2,")
    grouped = grouped.replace("kind: seam,", "kind: seam, group: 1, process: GMAW,")
    monkeypatch.setattr(small_route, "PROCEDURE", grouped)
    page = weld_page(SmallRoute().record, "W30")
    assert page is not None
    assert page.chosen is not None
    assert (page.chosen.code, page.chosen.weld.process) == ("S1", "GMAW")
    assert page.reason.startswith("group 1; ")


def test_what_a_lead_has_to_decide_holds_the_next_weld_in_the_same_words(route: SmallRoute) -> None:
    give_pins(route)
    route.up_to("W20")
    bay = Bay(route)
    waiting = bay.page("W20/welds")
    assert "W20 is not in work; start it first" in waiting
    assert 'id="weld-made"' not in waiting
    assert weld(route, "L1", "W20").data["message"] == "W20 is not in work; start it first"
    assert_accepted(route.send("start", "W20", "fenn"))
    assert 'form="weld-made"' not in bay.page("W20/welds")  # no permit yet
    assert_accepted(route.read("W20.1"))
    assert 'form="weld-made"' in bay.page("W20/welds")
    assert_accepted(route.send("problem", "W20", "fenn", text="The rail is torn"))
    page = " ".join(bay.page("W20/welds").split())
    refused = weld(route, "L1", "W20")
    assert refused.data["message"] == "W20 may not go on yet"
    (reason,) = refused.data["reasons"]
    for words in (refused.data["message"], reason["text"], reason["clear"]):
        assert words in page
    assert 'id="weld-made"' not in page
    assert 'form="weld-made"' not in page
    decided = {"nonconformance": "1", "disposition": "rework", "reason": "Weld the tear first"}
    assert_accepted(route.send("disposition", "W20", "thorn", "pin", **decided))
    assert_accepted(weld(route, "L1", "W20"))


def test_a_tack_made_after_the_measuring_has_the_position_measured_again(route: SmallRoute) -> None:
    route.up_to("W20")
    assert_accepted(route.send("start", "W20", "fenn"))
    assert_accepted(route.read("W20.1"))
    assert_accepted(weld(route, "L1", "W20"))
    assert_accepted(route.read("W20.2"))
    assert_accepted(route.send("finish", "W20", "fenn"))
    assert_accepted(route.send("start", "W30", "fenn"))
    assert_accepted(route.read("W30.1"))
    assert_accepted(weld(route, "L1"))
    assert weld(route, "L2", "W20").data["step"] == "tack"
    told = weld(route, "L2").data
    assert [r["code"] for r in told["reasons"]] == ["open:W20.2"]
    assert_accepted(route.read("W20.2"))
    assert weld(route, "L2").data["step"] == "weld"
