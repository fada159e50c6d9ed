"""The lead's list: everything that waits for a second pair of eyes, with the place where it is done."""

import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.jobs.desk import Desk, another_car
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db


def text_of(route: SmallRoute) -> str:
    return " ".join(Desk(route, "lind").page("/witness/").split())


def test_with_nothing_to_do_it_says_what_will_be_here(route: SmallRoute) -> None:
    assert "Nothing waits for you." in text_of(route)


def test_a_reading_waits_for_its_witness_without_being_told(route: SmallRoute) -> None:
    route.up_to("C10")
    route.send("start", "C10", "fenn")
    route.read("C10.1", "fenn", "turn", value="29 17/32")
    page = text_of(route)
    assert '<a href="/jobs/1001/C10/#C10.2">C10.2 Cut line read again waits for a second person</a>' in page
    assert not re.search(r"\b17\b", page.split('id="queue"')[1])


def test_a_problem_waits_for_its_decision(route: SmallRoute) -> None:
    route.send("problem", "I10", "wren", text="Rust at the rail")
    page = text_of(route)
    assert 'href="/jobs/1001/I10/#nonconformance-1"' in page
    assert "Nonconformance 1: Rust at the rail" in page


def test_what_is_too_close_waits_for_a_lead(route: SmallRoute) -> None:
    route.up_to("C20")
    route.send("start", "C20", "fenn")
    route.read("C20.1")
    route.read("C20.2", "fenn", "turn", value="29 5/8")
    assert "C20.2 Rail end from datum is too close to call" in text_of(route)


def test_welds_and_then_the_hold_point_wait(route: SmallRoute) -> None:
    route.up_to("W40")
    route.send("start", "W40", "fenn")
    page = text_of(route)
    assert "W40.1 Cradle seam waits to be judged" in page
    assert "is ready to be passed" not in page
    route.read("W40.1", "lind")
    route.read("W40.2", "fenn")
    page = text_of(route)
    assert "waits to be judged" not in page
    assert "Hold point W40 Inspect and measure when cool is ready to be passed" in page


def test_the_place_that_it_leads_to_is_on_the_page(route: SmallRoute) -> None:
    route.send("problem", "I10", "wren", text="Rust at the rail")
    assert 'id="nonconformance-1"' in Desk(route, "lind").page("/jobs/1001/I10/")


def test_queries_do_not_grow_with_cars(route: SmallRoute) -> None:
    route.up_to("C10")
    desk = Desk(route, "lind")
    desk.get("/witness/")
    with CaptureQueriesContext(connection) as one:
        desk.get("/witness/")
    for _ in range(4):
        another_car(route)
    route.send("problem", "C10", "fenn", text="Rust")
    with CaptureQueriesContext(connection) as many:
        desk.get("/witness/")
    assert len(many) == len(one)


def test_unchanged_it_is_not_sent_again(route: SmallRoute) -> None:
    desk = Desk(route, "lind")
    desk.get("/witness/")  # the first answer gives the browser its token for forms
    etag = desk.get("/witness/").headers["ETag"]
    assert desk.get("/witness/", **{"If-None-Match": etag}).status_code == 304
    route.send("problem", "I10", "wren", text="Rust")
    assert desk.get("/witness/", **{"If-None-Match": etag}).status_code == 200
