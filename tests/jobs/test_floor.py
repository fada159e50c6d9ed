"""The floor page: which car is in which bay, what each waits for, what will be late."""

import datetime as dt

import pytest
from django.core.cache import caches
from django.db import connection
from django.test.utils import CaptureQueriesContext

from jobs.models import Job, Stands
from shop.models import Bay, Customer
from tests.jobs.desk import Desk, another_car
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db


def text_of(route: SmallRoute) -> str:
    return " ".join(Desk(route, "moss").page("/floor/").split())


def test_a_car_stands_in_its_bay_with_its_operation_in_hand(route: SmallRoute) -> None:
    page = text_of(route)
    assert "1966 Test car" in page
    assert "Test customer" in page
    assert "Book the car in" in page
    assert "Intake, comes next" in page


def test_an_empty_bay_is_said_to_be_empty(route: SmallRoute) -> None:
    Bay.objects.create(number=2, name="Second bay")
    Bay.objects.create(number=3, name="Shut bay", is_open=False)
    page = text_of(route)
    assert "Second bay: empty." in page
    assert "Shut bay" not in page


def test_a_car_that_is_in_no_bay_is_listed_below(route: SmallRoute) -> None:
    another_car(route)
    page = text_of(route)
    assert page.index("Not in a bay") < page.index("1965 Other car")


def test_without_any_car_it_says_how_to_begin(route: SmallRoute) -> None:
    Job.objects.update(released_at=route.now)
    assert "No car is in the shop." in text_of(route)


def test_the_first_reason_of_a_gate_is_what_it_waits_for(route: SmallRoute) -> None:
    route.count_kit()
    route.do("I10", "wren")
    page = text_of(route)
    assert "Stopped:" in page
    assert "The customer has not allowed the car to be cut, in writing" in page
    assert "1 stopped" in page


def test_a_car_that_nothing_stops_says_so(route: SmallRoute) -> None:
    assert "Waits for nothing; work can go on." in text_of(route)


def test_an_open_nonconformance_stops_the_car_before_any_gate(route: SmallRoute) -> None:
    route.up_to("C10")
    route.send("start", "C10", "fenn")
    route.read("C10.1", "fenn", "turn", value="31")
    page = text_of(route)
    assert "Nonconformance 1: C10.1 Cut line from datum does not conform" in page
    assert "A lead decides what is done about it" in page


def test_a_shortage_is_told_with_its_operation(route: SmallRoute) -> None:
    route.authorise()
    route.count_kit(TC_ARM=1)
    page = text_of(route)
    assert "1 of TC-ARM Lower arm short for A10, expected: no date" in page


def test_days_on_stands_are_counted_by_the_shops_days(route: SmallRoute) -> None:
    route.up_to("T20")
    Job.objects.update(stands_since=dt.datetime(2026, 2, 27, 5, 30, tzinfo=dt.UTC))  # the 26th, 23:30
    route.now = dt.datetime(2026, 3, 2, 14, 0, tzinfo=dt.UTC)
    assert "<b>4 days</b>" in text_of(route)
    Job.objects.update(stands=Stands.ON_DOLLY)
    assert "4 days" not in text_of(route)


def test_a_car_that_cannot_be_ready_as_promised_is_late(route: SmallRoute) -> None:
    Job.objects.update(promised_on=route.now.date())
    page = text_of(route)
    assert "Mon 2 Mar" in page
    assert "Tue 3 Mar" in page
    assert "1 day late" in page


def test_queries_do_not_grow_with_cars(route: SmallRoute) -> None:
    route.up_to("T20")
    desk = Desk(route, "moss")
    with CaptureQueriesContext(connection) as one:
        desk.get("/floor/")
    for number in range(2, 6):
        Bay.objects.create(number=number, name=f"Bay {number}")
        another_car(route)
    caches["floor"].clear()
    with CaptureQueriesContext(connection) as many:
        desk.get("/floor/")
    assert len(many) <= len(one)


def test_a_car_of_which_nothing_changed_is_not_worked_out_again(route: SmallRoute) -> None:
    another_car(route)
    desk = Desk(route, "moss")
    first = desk.get("/floor/", target="floor").content
    with CaptureQueriesContext(connection) as again:
        assert desk.get("/floor/", target="floor").content == first
    assert not [query for query in again if "jobs_result" in query["sql"]]
    route.send("start", "I10", "wren")
    with CaptureQueriesContext(connection) as changed:
        assert desk.get("/floor/", target="floor").content != first
    asked = [query["sql"] for query in changed if 'FROM "jobs_authority"' in query["sql"]]
    assert len(asked) == 1, "only the car that changed is worked out"


def test_a_row_shows_what_changed_elsewhere(route: SmallRoute) -> None:
    desk = Desk(route, "moss")
    assert "Test customer" in desk.page("/floor/")
    Customer.objects.update(name="Another name")
    Bay.objects.filter(number=1).update(name="Bay by the door")
    page = desk.page("/floor/")
    assert "Another name" in page
    assert "Bay by the door" in page


def test_unchanged_it_is_not_sent_again_and_changed_it_is(route: SmallRoute) -> None:
    desk = Desk(route, "moss")
    first = desk.get("/floor/", target="floor")
    assert first.headers["Cache-Control"] == "private, no-cache"
    etag = first.headers["ETag"]
    with CaptureQueriesContext(connection) as asked:
        assert desk.get("/floor/", target="floor", **{"If-None-Match": etag}).status_code == 304
    assert len(asked) <= 6
    route.authorise()
    assert desk.get("/floor/", target="floor", **{"If-None-Match": etag}).status_code == 200


def test_another_person_and_the_whole_page_have_other_etags(route: SmallRoute) -> None:
    mine = Desk(route, "moss").get("/floor/").headers["ETag"]
    part = Desk(route, "moss").get("/floor/", target="floor").headers["ETag"]
    theirs = Desk(route, "fenn").get("/floor/").headers["ETag"]
    assert len({mine, part, theirs}) == 3


def test_htmx_gets_the_part_that_it_replaces(route: SmallRoute) -> None:
    part = Desk(route, "moss").get("/floor/", target="floor").content.decode()
    assert part.lstrip().startswith('<div id="floor"')
    assert "<html" not in part
