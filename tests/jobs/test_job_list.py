"""All jobs: found as one types, sorted and narrowed by the address."""

import pytest
from django.core.cache import caches
from django.db import connection
from django.test.utils import CaptureQueriesContext

from jobs.models import Job
from tests.jobs.desk import Desk, another_car
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db


def rows(route: SmallRoute, query: str = "") -> list[str]:
    """The cars in the list in their order."""
    page = Desk(route, "wren").page(f"/jobs/{query}")
    found = [("1966 Test car", page.find("1966 Test car")), ("1965 Other car", page.find("1965 Other car"))]
    return [name for name, at in sorted(found, key=lambda f: f[1]) if at >= 0]


@pytest.mark.parametrize("words", ["1001", "test cust", "TEST", "1966", "K-9", "car 1966", "demo 1"], ids=str)
def test_a_job_is_found_by_any_of_its_words(words: str, route: SmallRoute) -> None:
    another_car(route)
    route.job.vehicle.plate = "DEMO 1"
    route.job.vehicle.save()
    assert rows(route, f"?q={words}") == ["1966 Test car"]


def test_every_word_must_be_found(route: SmallRoute) -> None:
    another_car(route)
    assert rows(route, "?q=test+other") == []
    assert rows(route, "?q=car") == ["1966 Test car", "1965 Other car"]


@pytest.mark.parametrize("words", ["%", "_", "'", '"><script>', "x" * 3000, "a b c d e f g h i j k"])
def test_odd_words_find_nothing_and_break_nothing(words: str, route: SmallRoute) -> None:
    answer = Desk(route, "wren").client.get("/jobs/", {"q": words})
    assert answer.status_code == 200
    assert "<script>" not in answer.content.decode()


@pytest.mark.parametrize(
    ("sort", "first"), [("car", 0), ("-car", 1), ("number", 1), ("-number", 0), ("rubbish", 1)]
)
def test_it_is_sorted_as_the_address_says(sort: str, first: int, route: SmallRoute) -> None:
    another_car(route)
    assert rows(route, f"?sort={sort}")[0] == ("1965 Other car", "1966 Test car")[first]


def test_cars_without_a_bay_come_last_whichever_way(route: SmallRoute) -> None:
    another_car(route)
    assert rows(route, "?sort=bay")[-1] == rows(route, "?sort=-bay")[-1] == "1965 Other car"


def test_released_cars_are_shown_when_asked_for(route: SmallRoute) -> None:
    another_car(route)
    Job.objects.filter(number=1001).update(released_at=route.now)
    assert rows(route) == ["1965 Other car"]
    assert rows(route, "?show=released") == ["1966 Test car"]
    assert len(rows(route, "?show=all")) == 2


def test_the_operation_in_hand_and_what_is_done_stand_in_the_row(route: SmallRoute) -> None:
    route.up_to("T10")
    route.send("start", "T10", "fenn")
    page = Desk(route, "wren").page("/jobs/")
    assert "Take the front suspension off" in page
    assert "1/13" in page


def test_without_jobs_it_says_how_to_begin(route: SmallRoute) -> None:
    Job.objects.update(released_at=route.now)
    assert "No car is booked in yet." in Desk(route, "wren").page("/jobs/")
    assert "No job has “zzz”" in Desk(route, "wren").page("/jobs/?q=zzz")


def test_htmx_gets_the_table_alone(route: SmallRoute) -> None:
    part = Desk(route, "wren").get("/jobs/?q=test", target="jobs").content.decode()
    assert part.lstrip().startswith('<div id="jobs"')
    assert "1966 Test car" in part


def test_queries_do_not_grow_with_jobs(route: SmallRoute) -> None:
    desk = Desk(route, "wren")
    desk.get("/jobs/")
    caches["glances"].clear()
    with CaptureQueriesContext(connection) as one:
        desk.get("/jobs/")
    for _ in range(4):
        another_car(route)
    caches["glances"].clear()
    with CaptureQueriesContext(connection) as many:
        desk.get("/jobs/")
    assert len(many) == len(one)
    with CaptureQueriesContext(connection) as again:
        desk.get("/jobs/")
    assert len(again) < len(one) / 2


def test_each_row_says_what_its_car_waits_for_until_that_changes(route: SmallRoute) -> None:
    desk = Desk(route, "wren")
    another_car(route)
    route.up_to("T10")
    assert "waits for a second person" not in desk.page("/jobs/")
    route.send("problem", "T10", "fenn", text="The rail is rusted through")
    page = desk.page("/jobs/")
    assert "Nonconformance 1: The rail is rusted through" in page
    assert page.count('class="held"') == 1
    assert 'href="/jobs/1001/T10/#nonconformance-1"' in page


def test_a_missing_part_says_when_it_is_needed(route: SmallRoute) -> None:
    route.authorise()
    route.count_kit(TC_ARM=1)
    page = Desk(route, "wren").page("/jobs/?q=1001")
    assert "nobody knows when it comes" in page
    assert "no date" in page


def test_the_one_car_that_is_asked_for_is_answered_in_one_look(route: SmallRoute) -> None:
    another_car(route)
    route.job.customer.phone = "555 0188"
    route.job.customer.save()
    route.up_to("T10")
    Job.objects.filter(number=1001).update(promised_on=route.now.date())
    desk = Desk(route, "wren")
    for words in ("test+car", "0188"):
        part = desk.get(f"/jobs/?q={words}", target="jobs").content.decode()
        assert "on its wheels, before Teardown: T10" in part
        assert "after the promise" in part
    assert "where-answer" not in desk.page("/jobs/?q=car")
    Job.objects.filter(number=1001).update(released_at=route.now)
    assert "Released and handed over on" in desk.page("/jobs/?q=test&show=all")


@pytest.mark.parametrize(
    ("who", "may"), [("wren", True), ("ash", True), ("fenn", False), ("lind", False), ("pike", False)]
)
def test_only_those_who_may_open_a_job_are_offered_it(who: str, may: bool, route: SmallRoute) -> None:
    assert ('href="/jobs/open/"' in Desk(route, who).page("/jobs/")) is may
