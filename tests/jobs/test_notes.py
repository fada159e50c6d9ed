"""Notes at an operation: kept beside the evidence, in nobody's way."""

import pytest

from jobs.models import Result, WorkNote
from tests.jobs.bay import Bay
from tests.jobs.desk import Desk, give_pins
from tests.jobs.small_route import SmallRoute


@pytest.fixture
def bay(route: SmallRoute) -> Bay:
    give_pins(route)
    route.up_to("T10")
    bay = Bay(route)
    bay.enter("start", "T10")
    return bay


def test_a_note_stands_at_its_operation_on_tablet_and_desk(bay: Bay) -> None:
    assert bay.enter("note", "T10", text="Bolt 3 is seized; أزرق 🔧").status_code == 302
    for page in (bay.page("T10"), Desk(bay.route, "wren").page("/jobs/1001/T10/")):
        assert "Bolt 3 is seized; أزرق 🔧" in page
        assert "Fenn" in page


def test_a_note_overtakes_no_reading_that_somebody_is_typing(bay: Bay) -> None:
    saw = str(bay.route.record.saw("T10"))
    bay.enter("note", "T10", text="Something")
    assert bay.enter("reading", "T10", checkpoint="T10.1", go="yes", saw=saw).status_code == 302
    assert Result.objects.filter(checkpoint__code="T10.1").count() == 1


@pytest.mark.parametrize(("text", "told"), [("  ", "Write the note"), ("x" * 1001, "at most 1000")])
def test_what_is_no_note_is_told_and_kept(bay: Bay, text: str, told: str) -> None:
    answer = bay.enter("note", "T10", text=text)
    assert answer.status_code == 422
    assert told in answer.content.decode()
    assert text in answer.content.decode()
    assert not WorkNote.objects.exists()
