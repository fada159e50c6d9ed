"""Marks and cradles that are read more than once: again by the same person, or by a second one alone."""

import pytest

from jobs.models import ProcedureRevision
from jobs.procedures.bringing_in import check_procedure
from shop.entries import Answer
from shop.file_errors import FileErrors
from shop.models import SignedHow
from tests.jobs import small_route
from tests.jobs.bay import Bay
from tests.jobs.cradle_files import CRADLE_PROCEDURE, POSITION, WITNESSED_CRADLE
from tests.jobs.desk import give_pins
from tests.jobs.marked_route import MARKED, STANDS
from tests.jobs.small_route import NOW, SmallRoute, assert_accepted
from tests.jobs.test_cradle_position import readings

pytestmark = pytest.mark.django_db
CLOSE = {"r1": "29 9/16", "r2": "29 9/16", "r3": "69 9/16", "r4": "11 9/16", "instrument": "TP-1"}


def begun(monkeypatch: pytest.MonkeyPatch, text: str, code: str) -> SmallRoute:
    monkeypatch.setattr(small_route, "PROCEDURE", text)
    route = SmallRoute()
    give_pins(route)
    route.up_to(code)
    assert_accepted(route.send("start", code, "fenn"))
    return route


@pytest.fixture
def marks(monkeypatch: pytest.MonkeyPatch) -> SmallRoute:
    return begun(monkeypatch, MARKED, "C10")


@pytest.fixture
def cradle(monkeypatch: pytest.MonkeyPatch) -> SmallRoute:
    route = begun(monkeypatch, WITNESSED_CRADLE, "W20")
    route.read("W20.1")
    return route


def mark(route: SmallRoute, given: dict[str, str], who: str = "fenn") -> Answer:
    return route.send("reading", "C10", who, checkpoint="C10.1", **given)


def test_a_mark_read_again_is_judged_with_the_reading_before(marks: SmallRoute) -> None:
    assert mark(marks, CLOSE).data["verdict"] == "too_close"
    answer = mark(marks, CLOSE)
    assert answer.data["verdict"] == "too_close"
    result = marks.record.find_checkpoint("C10.1").current  # type: ignore[union-attr]
    assert result is not None
    assert len(result.decision["together"]["earlier"]) == 1
    assert "Judged together with" in Bay(marks).page("C10")


def test_a_mark_made_anew_does_not_count_the_old_one(marks: SmallRoute) -> None:
    assert mark(marks, CLOSE).data["verdict"] == "too_close"
    far = {**CLOSE, "r1": "29 3/8", "r2": "29 3/8", "r3": "69 3/8", "r4": "11 3/8"}
    mark(marks, far)
    result = marks.record.find_checkpoint("C10.1").current  # type: ignore[union-attr]
    assert result is not None
    assert "together" not in result.decision


def test_the_slip_is_asked_of_both_persons_readings(marks: SmallRoute) -> None:
    """The first misread nothing; the second held the tape at its 1 in line, and only once."""
    assert_accepted(mark(marks, STANDS))
    wrong = {**STANDS, "r1": "30 1/2", "r2": "30 1/2"}
    answer = marks.send("witness", "C10", "moss", SignedHow.PIN, checkpoint="C10.2", **wrong)
    assert answer.data["verdict"] == "does_not_conform"
    assert "Reading from A: burned an inch? Read it again." in answer.data["explanation"]


def test_a_cradle_is_read_by_two_who_see_nothing_of_each_other(cradle: SmallRoute) -> None:
    first = cradle.send("reading", "W20", "fenn", checkpoint="W20.2", **readings())
    assert first.data["verdict"] == "conforms"
    typed = readings()["r_D1"]
    page = Bay(cradle).page("W20")
    assert f'value="{typed}"' not in page
    assert "From above, forward is up" not in page
    same = cradle.send("witness", "W20", "fenn", SignedHow.PIN, checkpoint="W20.3", **readings())
    assert not same.accepted
    off = readings(r_D1=str(float(typed) + 0.25))
    second = cradle.send("witness", "W20", "thorn", SignedHow.PIN, checkpoint="W20.3", **off)
    assert second.data.get("verdict") == "does_not_conform", second.data
    assert "the two do not agree" in second.data["explanation"]
    assert "From above, forward is up" in Bay(cradle).page("W20")
    assert not cradle.send("finish", "W20", "fenn", SignedHow.PIN).accepted


def test_two_who_read_the_same_are_told_so(cradle: SmallRoute) -> None:
    assert_accepted(cradle.send("reading", "W20", "fenn", checkpoint="W20.2", **readings()))
    others = {k: v for k, v in readings().items() if k not in {"r_D1", "r_H4"}}
    second = cradle.send("witness", "W20", "thorn", SignedHow.PIN, checkpoint="W20.3", **others)
    assert second.data["verdict"] == "conforms", second.data
    assert second.data["explanation"].endswith("Both persons read the same.")


def test_what_was_left_out_and_is_read_afterwards_is_fitted_with_what_was_read(cradle: SmallRoute) -> None:
    some = {k: v for k, v in readings().items() if k in {"r_D1", "r_S1", "r_C1", "instrument"}}
    first = cradle.send("reading", "W20", "fenn", checkpoint="W20.2", **some)
    assert first.data["verdict"] == "too_close"
    rest = {k: v for k, v in readings().items() if k not in {"r_S1", "r_C1"}}
    second = cradle.send("reading", "W20", "fenn", checkpoint="W20.2", **rest)
    assert second.data["verdict"] == "conforms", second.data
    moved = cradle.record.find_checkpoint("W20.2").current  # type: ignore[union-attr]
    assert moved is not None
    assert set(moved.decision["fitted"]) == {"D1", "D2", "S1", "S2", "C1", "H1", "H2", "H3", "H4"}


def test_a_cradle_moved_meanwhile_is_not_fitted_with_what_was_read_before(cradle: SmallRoute) -> None:
    some = {k: v for k, v in readings(ahead=0.5).items() if k in {"r_D1", "r_S1", "instrument"}}
    assert cradle.send("reading", "W20", "fenn", checkpoint="W20.2", **some).data["verdict"] == "too_close"
    assert_accepted(cradle.send("reading", "W20", "fenn", checkpoint="W20.2", **readings()))
    now = cradle.record.find_checkpoint("W20.2").current  # type: ignore[union-attr]
    assert now is not None
    assert "fitted" not in now.decision


def test_a_witness_of_what_has_no_reading_rejects() -> None:
    assert ProcedureRevision.objects.count() == 0
    wrong = WITNESSED_CRADLE.replace("of: W20.2,", "of: W20.1,")
    with pytest.raises(FileErrors, match="has no reading to take again"):
        check_procedure(wrong.encode(), now=NOW)
    assert POSITION in CRADLE_PROCEDURE
