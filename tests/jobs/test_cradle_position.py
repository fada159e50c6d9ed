"""A cradle's position from the file to the verdict: told how to move, compared with what was before."""

import pytest

from jobs.bad_input import BadInput
from jobs.bay.position_view import position_view
from jobs.judging.checkpoint import judge
from jobs.judging.cradle import Cradle
from jobs.judging.questions import Judged
from jobs.models import Checkpoint, ProcedureRevision
from jobs.papers.record_lines import RecordLines
from jobs.procedures.bringing_in import check_procedure, export_procedure
from jobs.procedures.yaml_text import plain, read_yaml
from shop.engineering.placing.readings import expected_reading
from shop.file_errors import FileErrors
from shop.models import ShopSettings
from tests.jobs import small_route
from tests.jobs.bay import Bay
from tests.jobs.cradle_files import CRADLE, CRADLE_PROCEDURE, POSITION
from tests.jobs.desk import give_pins
from tests.jobs.small_route import NOW, SmallRoute

pytestmark = pytest.mark.django_db
SECTION = plain(read_yaml(CRADLE.encode()))["layout"]["cradle"]


@pytest.fixture
def route(monkeypatch: pytest.MonkeyPatch) -> SmallRoute:
    monkeypatch.setattr(small_route, "PROCEDURE", CRADLE_PROCEDURE)
    return SmallRoute()


def readings(ahead: float = 0, left: float = 0, up: float = 0, **changed: str) -> dict[str, str]:
    """What a tape reads with the cradle off by so many inches, to a thirty-second."""
    cradle = Cradle.of(SECTION)
    off = [x * 25.4 for x in (ahead, left, up)]
    at = {n: tuple(p + o for p, o in zip(q, off, strict=True)) for n, q in cradle.frame.points.items()}
    read = {a.code: expected_reading(cradle.frame, a, at)[0] / 25.4 for a in cradle.frame.asked}
    typed = {f"r_{code}": str(round(value * 32) / 32) for code, value in read.items()}
    return {**typed, "instrument": "TP-1", **changed}


def tack(route: SmallRoute, **read: str):
    return route.send("reading", "W20", "fenn", checkpoint="W20.2", **read)


def at_the_tacks(route: SmallRoute) -> None:
    route.up_to("W20")
    route.send("start", "W20", "fenn")
    route.read("W20.1")


def test_it_is_told_how_to_move_conforms_the_second_time_and_is_compared_when_cool(
    route: SmallRoute,
) -> None:
    give_pins(route)
    at_the_tacks(route)
    first = tack(route, **readings(ahead=0.5, left=-0.25))
    assert first.data["verdict"] == "does_not_conform"
    assert "The whole of it 1/2 in forward" in first.data["explanation"]
    assert not route.send("start", "W30", "fenn").accepted
    assert "move it 1/2 in back; move it 1/4 in to the left" in first.data["explanation"]
    route.send(
        "disposition", "W20", "lind", "pin", nonconformance=str(first.data["nonconformance"]),
        disposition="rework", reason="Cut the tacks and move it",
    )  # fmt: skip
    second = tack(route, **readings())
    assert second.data.get("verdict") == "conforms", second.data
    page = Bay(route).page("W20")
    assert "From above, forward is up" in page
    route.send("finish", "W20", "fenn", "pin")
    route.do("W30")
    route.send("start", "W40", "thorn")
    route.read("W40.1", "lind")
    cool = route.send("reading", "W40", "thorn", checkpoint="W40.2", **readings(left=0.5))
    assert cool.data["verdict"] == "does_not_conform"
    record = route.record
    view = position_view(record, record.find_checkpoint("W40.2"))
    assert view is not None
    paper = next(line for line in RecordLines.of(record).dimensions if line.code == "W40.2")
    assert any("more than the readings explain" in text for text in paper.row.remarks)
    assert (
        "Since W20.2 Cradle tacked it moved, more than the readings explain: the whole of it" in view.since[0]
    )


def judged(**payload: str) -> Judged:
    """The cradle's checkpoint judged by itself."""
    small_route._instrument("TP-1", *small_route.INSTRUMENTS["TP-1"])
    checkpoint = Checkpoint(kind="position", limit="≤ 1/8 in", instrument_kind="tape", frame=SECTION)
    return judge(checkpoint, payload, on=NOW.date(), settings=ShopSettings())


@pytest.mark.parametrize(
    ("nose_down", "says"),
    [
        # In inches, over the 23 that lie between the points in front and behind.
        (0, "Adds nothing to caster, camber or set-back (to first order)"),
        (0.25, "Adds to caster −0.62° (to first order)"),
    ],
)
def test_what_is_off_by_nothing_is_not_said(nose_down: float, says: str) -> None:
    """No +0.00° is read as if it were a figure."""
    read = readings(ahead=0.5)
    for code in ("r_H1", "r_H2"):
        read[code] = str(float(read[code]) - nose_down)
    assert judged(**read).decision["effects"] == says


def test_what_is_missing_is_left_out_and_the_reading_that_helps_most_is_named() -> None:
    found = judged(**{k: v for k, v in readings().items() if k in {"r_D1", "r_D2", "instrument"}})
    assert found.verdict == "too_close"
    assert "equal diagonals do not prove square" in found.explanation
    assert "Measure next:" in found.explanation


def test_a_reading_an_inch_off_is_pointed_out() -> None:
    wrong = readings()
    wrong["r_D1"] = str(float(wrong["r_D1"]) + 1)
    found = judged(**wrong)
    assert found.verdict == "too_close"
    assert "does not agree with the rest: read it again" in found.explanation


@pytest.mark.parametrize(
    ("typed", "field", "says"),
    [
        ({"r_D1": "10", "r_S1": "10"}, "r_D1", "cannot both be right"),
        ({}, "r_D1", "what could not be read stays empty"),
        ({"r_D1": "a bit"}, "r_D1", "a bit"),
    ],
)
def test_what_cannot_be_is_told_beside_the_field(typed: dict[str, str], field: str, says: str) -> None:
    with pytest.raises(BadInput) as bad:
        judged(instrument="TP-1", **typed)
    assert says in bad.value.errors[field]


def test_the_section_comes_back_as_it_was_written(route: SmallRoute) -> None:
    text = export_procedure(ProcedureRevision.objects.get())
    assert plain(read_yaml(text.encode()))["layout"]["cradle"] == SECTION
    assert Checkpoint.objects.get(code="W20.2").frame == SECTION


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("kind: across", "kind: sideways", "“sideways” is none of"),
        ("of: LR,", "of: XX,", "“XX” is none of: LF, RF, LR, RR"),
        ('at: "12 in, 15 in, 2 in"', 'at: "12 in, 15 in"', "three figures"),
        ("    track: 58 in", "    trakc: 58 in", "trakc"),
        (
            "kind: position, title: Cradle tacked, limit: ≤ 1/8 in",
            "kind: position, title: Cradle tacked, limit: 14 ±1/8 in",
            "how far a point may be off",
        ),
    ],
)
def test_a_file_with_a_fault_rejects(old: str, new: str, says: str) -> None:
    assert old in CRADLE_PROCEDURE
    with pytest.raises(FileErrors, match=says):
        check_procedure(CRADLE_PROCEDURE.replace(old, new, 1).encode(), now=NOW)


def test_a_position_without_a_cradle_rejects() -> None:
    bare = CRADLE_PROCEDURE.replace(CRADLE, "layout: {}\n")
    with pytest.raises(FileErrors, match="the layout names none"):
        check_procedure(bare.encode(), now=NOW)


def test_baseline_trial_tacks_and_cooled_welds_are_compared_each_with_each(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Four times the same points: 3/8 in to the trial fit, none to the tacks, 1/2 in by the welds."""
    before = "\n      - ".join(
        POSITION.replace("W20.2", code).replace("Cradle tacked", title)
        for code, title in (("W20.8", "Baseline"), ("W20.9", "Trial fit"))
    )
    four = CRADLE_PROCEDURE.replace(f"      - {POSITION}", f"      - {before}\n      - {POSITION}", 1)
    monkeypatch.setattr(small_route, "PROCEDURE", four.replace("limit: ≤ 1/8 in", "limit: ≤ 2 in"))
    route = SmallRoute()
    at_the_tacks(route)
    for code, read in (
        ("W20.8", readings()),
        ("W20.9", readings(ahead=0.375)),
        ("W20.2", readings(ahead=0.375)),
    ):
        route.send("reading", "W20", "fenn", checkpoint=code, **read)
    route.send("finish", "W20", "fenn", "pin")
    route.do("W30")
    route.send("start", "W40", "thorn")
    route.read("W40.1", "lind")
    route.send("reading", "W40", "thorn", checkpoint="W40.2", **readings(ahead=0.375, left=0.5))
    record = route.record

    def since(code: str) -> list[str]:
        view = position_view(record, record.find_checkpoint(code))
        assert view is not None
        return [line.partition(" it moved")[2] for line in view.since]

    assert since("W20.8") == []
    assert since("W20.9") == [", more than the readings explain: the whole of it 3/8 in forward."]
    assert since("W20.2")[1] == " no more than the readings explain."
    cooled = since("W40.2")
    assert "3/8 in forward" in cooled[0]
    assert "1/2 in to the left" in cooled[0]
    assert all("1/2 in to the left" in line and "forward" not in line for line in cooled[1:])
    assert len(cooled) == 3
