"""What is said at a joint beside its figure: extension, stiff nut, slot, passes, a figure lowered twice."""

from typing import Any

import pytest

from jobs.bad_input import BadInput
from jobs.judging.checkpoint import judge
from jobs.judging.patterns import pattern_at
from jobs.judging.questions import Judged
from jobs.models import Checkpoint
from shop.models import Instrument, ShopSettings, Tool
from tests.jobs.small_route import NOW, SmallRoute

SETTINGS = ShopSettings()
GOOD = {"instrument": "TW-1", "clicked": "yes", "lubricant": "yes", "passes": "yes"}


def tighten(checkpoint: dict[str, Any], **payload: str) -> Judged:
    asked = {"kind": "torque", "limit": "65 ±10 % lbf·ft", "instrument_kind": "torque_wrench_click"}
    joint = Checkpoint(**{**asked, **checkpoint})
    return judge(joint, {**GOOD, **payload}, on=NOW.date(), settings=SETTINGS)


def refused(checkpoint: dict[str, Any], **payload: str) -> dict[str, str]:
    with pytest.raises(BadInput) as bad:
        tighten(checkpoint, **payload)
    return dict(bad.value.errors)


@pytest.mark.parametrize(
    ("went", "verdict"), [("0°", "conforms"), ("35°", "conforms"), ("55", "does_not_conform")]
)
def test_a_castle_nut_goes_forward_to_its_slot_within_its_most(
    route: SmallRoute, went: str, verdict: str
) -> None:
    judged = tighten({"castle_nut": "40°"}, value="65", slot=went)
    assert judged.verdict == verdict
    assert judged.decision["slot"]["most"]["exact"] == "40"


def test_a_castle_nut_is_never_turned_back(route: SmallRoute) -> None:
    assert "never turned back" in refused({"castle_nut": "40°"}, value="65", slot="-10")["slot"]
    assert "never turned back" in refused({"castle_nut": "80 lbf·ft"}, value="65", slot="60")["slot"]
    assert tighten({"castle_nut": "80 lbf·ft"}, value="65", slot="84").verdict == "does_not_conform"


def test_what_a_locknut_takes_before_it_seats_is_set_on_top(route: SmallRoute) -> None:
    """65 at the joint through a nut that takes 8 is 73 on the wrench; 65 on the wrench is 57 at the joint."""
    stiff = {"prevailing": "measured"}
    judged = tighten(stiff, value="73", prevailing="8")
    assert judged.verdict == "conforms"
    assert judged.decision["reading"]["exact"] == "65"
    assert judged.decision["arriving"]["prevailing"]["exact"] == "8"
    assert tighten(stiff, value="65", prevailing="8").verdict != "conforms"
    assert set(refused(stiff, value="73")) == {"prevailing"}


def test_an_extension_in_line_is_allowed_for_and_square_changes_nothing(route: SmallRoute) -> None:
    """2 in on 18 in of lever: nine tenths of the figure is set."""
    Tool.objects.create(code="CF-2", name="Crowfoot", kind="extension", size="2 in")
    assert "not entered" in refused({}, value="58.5", extension="CF-2/0")["extension"]
    assert tighten({}, value="65", extension="CF-2/90").verdict == "conforms"
    Instrument.objects.filter(code="TW-1").update(lever="18 in")
    judged = tighten({}, value="58.5", extension="CF-2/0")
    assert judged.verdict == "conforms"
    assert judged.decision["reading"]["exact"] == "65"
    assert judged.decision["arriving"]["ratio"] == "10/9"
    assert set(refused({}, value="65", extension="CF-9/0")) == {"extension"}


def test_a_figure_is_never_lowered_a_second_time(route: SmallRoute) -> None:
    """65 for oiled threads, set to 45.5 because a chart says seven tenths: stopped."""
    oiled = {"lubricant": "engine oil on threads"}
    assert "lower it again" in refused(oiled, value="45.5")["value"]
    assert tighten(oiled, value="52").verdict == "does_not_conform"
    assert tighten({"lubricant": "clean and dry"}, value="45.5").verdict == "does_not_conform"


def test_a_pattern_has_its_passes_and_its_order(route: SmallRoute) -> None:
    wheel = {"limit": "90 ±10 % lbf·ft", "pattern": 5}
    assert set(refused(wheel, value="90", passes="")) == {"passes"}
    kept = tighten(wheel, value="90").decision["pattern"]
    assert kept["order"] == [1, 3, 5, 2, 4]
    assert kept["passes"] == ["30.0 lbf·ft", "60.0 lbf·ft", "90.0 lbf·ft", "90.0 lbf·ft"]
    stated = Checkpoint(kind="torque", limit="90 lbf·ft", pattern=5, passes=["40 lbf·ft", "90 lbf·ft"])
    found = pattern_at(stated, SETTINGS)
    assert found is not None
    assert found.passes == ("40 lbf·ft", "90 lbf·ft")


def test_a_wrench_that_ends_below_the_figure_is_refused_when_it_is_picked(route: SmallRoute) -> None:
    assert "ends below the figure" in refused({"limit": "200 ±10 % lbf·ft"}, value="200")["instrument"]
    assert "begins above" in refused({"limit": "5 ±10 % lbf·ft"}, value="5")["instrument"]
