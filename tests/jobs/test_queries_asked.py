"""How many queries the pages asked most, and a posted result, take: few, and no more with a long history."""

import uuid
from collections.abc import Callable

import pytest
from django.db import connection
from django.http import HttpResponse
from django.test.utils import CaptureQueriesContext

from tests.jobs.bay import Bay
from tests.jobs.desk import Desk, give_pins
from tests.jobs.small_route import SmallRoute

NOTES = 30
# The most that each may ask, its sign-in and, where it writes, its transaction included.
MOST = {
    "posted result": 36,
    "job page": 16,
    "operation page": 15,
    "tablet page": 19,
    "floor": 10,
    "job list": 9,
}
Ask = Callable[[], HttpResponse]


def asks(route: SmallRoute) -> dict[str, Ask]:
    desk, bay, number = Desk(route, "wren"), Bay(route, "fenn"), route.job.number
    assert bay.enter("cautions_seen", "T20").status_code in {302, 422}
    return {
        "posted result": lambda: bay.enter(
            "reading", "T20", checkpoint="T20.2", value="0.1", instrument="LV-1", reason="Read again"
        ),
        "job page": lambda: desk.get(f"/jobs/{number}/"),
        "operation page": lambda: desk.get(f"/jobs/{number}/T20/"),
        "tablet page": lambda: bay.get(f"/tablet/{number}/T20/"),
        "floor": lambda: desk.get("/floor/"),
        "job list": lambda: desk.get("/jobs/"),
    }


def count(ask: Ask) -> int:
    """How many queries it takes once what is kept between requests is there."""
    assert ask().status_code in {200, 302}
    with CaptureQueriesContext(connection) as asked:
        assert ask().status_code in {200, 302}
    return len(asked)


@pytest.fixture
def in_work(route: SmallRoute) -> SmallRoute:
    give_pins(route)
    route.up_to("T20")
    assert route.send("start", "T20", "fenn").accepted
    return route


def test_few_queries_and_no_more_with_a_long_history(in_work: SmallRoute) -> None:
    every = asks(in_work)
    before = {name: count(ask) for name, ask in every.items()}
    assert {name: (n, MOST[name]) for name, n in before.items() if n > MOST[name]} == {}
    for _n in range(NOTES):
        assert in_work.send("note", f"C10/note/{uuid.uuid4().hex[:8]}", "fenn", text="Seen").accepted
    after = {name: count(ask) for name, ask in every.items()}
    assert after == before
