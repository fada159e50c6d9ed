"""The drawn plan: nothing lies over anything else, and on paper no row gets thin."""

import datetime as dt
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from jobs.plans.deciding import job_numbers
from jobs.plans.timeline import LETTER, SHEET, Bar, DayAxis, Part, Row, Shape, draw, on_sheets

DAYS = tuple(dt.date(2026, 3, 2) + dt.timedelta(days=n) for n in range(5))
AXIS = DayAxis(DAYS, 8 * 60, 17 * 60)
MONDAY = dt.datetime.fromisoformat("2026-03-02T00:00")
NOW = MONDAY + dt.timedelta(hours=9)


def test_work_that_goes_on_over_an_absence_keeps_its_name() -> None:
    work = Bar(Shape.WORK, NOW, NOW + dt.timedelta(days=2), "1004 I30", "layout")
    away = Bar(Shape.AWAY, MONDAY, MONDAY + dt.timedelta(days=2), "away")
    drawing = draw(AXIS, [Part("People", (Row("Ash", (away, work)),), 34)], now=NOW)
    assert [one.text for one in drawing.labels] == ["1004 I30"]


def test_a_bar_too_short_for_its_name_still_says_which_car() -> None:
    work = Bar(Shape.WORK, NOW, NOW + dt.timedelta(hours=2), "20015 I20")
    drawing = draw(AXIS, [Part("People", (Row("Ash", (work,)),), 34)], now=NOW)
    assert [one.text for one in drawing.labels] == ["20015"]
    closed = Bar(Shape.AWAY, NOW, NOW + dt.timedelta(hours=3), "Level pad is shimmed")
    assert draw(AXIS, [Part("Bays", (Row("4", (closed,)),), 44)], now=NOW).labels == []


def test_on_screens_a_hatch_is_laid_over_whole_bars_and_on_paper_drawn_in_lines() -> None:
    work = [
        Bar(Shape.WORK, NOW, NOW + dt.timedelta(hours=n), "1", stage)
        for n, stage in enumerate(("welding", "welding", "assembly", "intake"), start=1)
    ]
    parts = [Part("Bays", tuple(Row("1", (bar,)) for bar in work), 44)]
    screen, paper = (draw(AXIS, parts, now=NOW, tiled=tiled) for tiled in (True, False))
    assert {tile.stage for tile in screen.tiles} == {"welding", "assembly"}
    assert {stage: path.count("M") for stage, path in screen.stages} == {"welding": 2, "assembly": 1}
    assert screen.outlines.count("M") == 1  # what has no hatch of its own
    assert (paper.tiles, paper.outlines.count("M")) == ([], 4)
    assert len(paper.hatches["welding"]) > 10 * len(screen.hatches["welding"])


def test_a_date_beyond_the_days_shown_leaves_no_mark_at_the_edge() -> None:
    beyond = Row("1", range=(NOW + dt.timedelta(days=20), NOW + dt.timedelta(days=30)))
    assert draw(AXIS, [Part("Cars", (beyond,), 20)], now=NOW).ranges == ""
    cut = Row("1", range=(NOW + dt.timedelta(days=2), NOW + dt.timedelta(days=30)))
    assert draw(AXIS, [Part("Cars", (cut,), 20)], now=NOW).ranges.count("V") == 1


times = st.integers(0, 5 * 24 * 60).map(lambda n: MONDAY + dt.timedelta(minutes=n))


@given(st.lists(st.tuples(times, times, st.text("abc 123", max_size=12)), max_size=8))
def test_no_label_lies_over_another(found: list[tuple[dt.datetime, dt.datetime, str]]) -> None:
    bars = tuple(Bar(Shape.WORK, min(a, b), max(a, b), label) for a, b, label in found)
    labels = sorted(draw(AXIS, [Part("Bays", (Row("1", bars),), 44)], now=NOW).labels, key=lambda one: one.x)
    for left, right in pairwise(labels):
        assert left.x + len(left.text) * LETTER <= right.x + 0.2


@given(st.lists(st.integers(0, 70), min_size=1, max_size=4))
def test_every_row_is_on_one_sheet_and_no_sheet_is_too_high(counts: list[int]) -> None:
    parts = [
        Part(str(n), tuple(Row(f"{n}/{k}") for k in range(count)), height)
        for (n, count), height in zip(enumerate(counts), (44.0, 34.0, 20.0, 20.0), strict=False)
    ]
    sheets = on_sheets(parts)
    rows = [row.label for sheet in sheets for part in sheet for row in part.rows]
    assert rows == [row.label for part in parts for row in part.rows]
    assert all(draw(AXIS, sheet, now=NOW).height <= SHEET + 6 for sheet in sheets)


def test_of_many_jobs_the_first_are_named_and_the_others_counted() -> None:
    assert job_numbers([1001, 1002]) == "1001, 1002"
    assert job_numbers(range(1001, 1061)) == "1001, 1002, 1003, 1004, 1005, 1006 and 54 more"
