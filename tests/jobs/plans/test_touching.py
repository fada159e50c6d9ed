"""What the drawn plan says where it is touched: every bar once, in its row, within the picture."""

import datetime as dt

from hypothesis import given
from hypothesis import strategies as st

from jobs.desk.plan_picture import span_words
from jobs.plans.timeline import LEFT, WIDTH, Bar, DayAxis, Mark, MarkKind, Part, Row, Shape, draw

DAYS = tuple(dt.date(2026, 3, 2) + dt.timedelta(days=n) for n in range(5))
AXIS = DayAxis(DAYS, 8 * 60, 17 * 60)
MONDAY = dt.datetime.fromisoformat("2026-03-02T00:00")
NINE = MONDAY + dt.timedelta(hours=9)

times = st.integers(0, 8 * 24 * 60).map(lambda n: MONDAY + dt.timedelta(minutes=n))
shapes = st.sampled_from([Shape.WORK, Shape.STANDING, Shape.STAY, Shape.AWAY])


@given(st.lists(st.tuples(times, times, shapes), max_size=8))
def test_whatever_is_drawn_can_be_touched_where_it_is(
    found: list[tuple[dt.datetime, dt.datetime, Shape]],
) -> None:
    bars = tuple(Bar(shape, min(a, b), max(a, b), says="x", url="/") for a, b, shape in found)
    drawing = draw(AXIS, [Part("Bays", (Row("1", bars), Row("2", bars)), 44)], now=NINE)
    seen = [bar for bar in bars if AXIS.x(bar.ends) - AXIS.x(bar.starts) >= 0.5]
    assert len(drawing.touches) == 2 * len(seen)
    assert {touch.row for touch in drawing.touches} == ({0, 1} if seen else set())
    for touch in drawing.touches:
        assert touch.x >= LEFT
        assert touch.x + touch.width <= WIDTH + 0.2
        assert touch.y >= 0
        assert touch.y + touch.height <= drawing.height


def test_a_stay_is_touched_in_its_band_and_the_work_beneath_it() -> None:
    stay = Bar(Shape.STAY, NINE, NINE + dt.timedelta(hours=4), "1001", says="1001 has bay 1", url="/1/")
    work = Bar(Shape.WORK, NINE, NINE + dt.timedelta(hours=2), says="1001 C10", url="/2/")
    band, beneath = draw(AXIS, [Part("Bays", (Row("1", (work, stay)),), 44)], now=NINE).touches
    assert (band.says, beneath.says) == ("1001 has bay 1", "1001 C10")
    assert band.y + band.height <= beneath.y


def test_a_car_says_its_dates_where_its_marks_are_and_not_where_none_is() -> None:
    ready = Mark(MarkKind.READY, NINE + dt.timedelta(days=1))
    beyond = Mark(MarkKind.READY, NINE + dt.timedelta(days=30))
    rows = (Row("1", marks=(ready,), says="ready", url="#1"), Row("2", marks=(beyond,), says="no", url="#2"))
    assert [one.says for one in draw(AXIS, [Part("Cars", rows, 20)], now=NINE).touches] == ["ready"]


def test_a_day_is_named_once_where_it_is_one() -> None:
    assert span_words(NINE, NINE + dt.timedelta(hours=2)) == "Mon 2 Mar 09:00 to 11:00"
    assert span_words(NINE, NINE + dt.timedelta(days=1)) == "Mon 2 Mar 09:00 to Tue 3 Mar 09:00"
