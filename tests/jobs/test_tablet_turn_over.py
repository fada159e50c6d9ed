"""A page that was left open longer than its turn: nothing is signed unseen, nothing typed is lost."""

import pytest

from shop.models import Turn
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


def test_a_page_left_open_overnight_keeps_what_was_entered(begun: SmallRoute, bay: Bay) -> None:
    begun.later(hours=22)
    late = bay.enter("reading", "T10", checkpoint="T10.1", go="yes", reason="half typed")
    page = late.content.decode()
    assert late.status_code == 409
    assert "Your turn has ended" in page
    assert 'value="half typed"' in page
    kept = {"kept_number": "1001", "kept_subject": "T10", "kept_at": "T10.1", "kept_p_reason": "half typed"}
    wrong = bay.post("/tablet/turn/", {"username": "fenn", "pin": "0000", **kept, "kept_p_go": "yes"})
    assert 'value="half typed"' in wrong.content.decode()
    again = bay.post("/tablet/turn/", {"username": "fenn", "pin": "4711", **kept, "kept_p_go": "yes"})
    assert again.status_code == 200
    assert 'name="p_go" value="yes" required checked' in again.content.decode()
    assert not begun.record.find_checkpoint("T10.1").results  # type: ignore[union-attr]


def test_a_page_from_anothers_turn_signs_nothing_in_this_ones_name(begun: SmallRoute, bay: Bay) -> None:
    old = Turn.objects.get().pk
    bay.post("/tablet/turn/", {"username": "moss", "pin": "4711"})
    answer = bay.enter("reading", "T10", checkpoint="T10.1", go="yes", turn=str(old))
    assert answer.status_code == 409
    assert "Fenn" in answer.content.decode()
    assert not begun.record.find_checkpoint("T10.1").results  # type: ignore[union-attr]
