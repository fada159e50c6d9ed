"""The week: bays and people by day, what is missing by need, what blocks, runs out and costs."""

import datetime as dt
import uuid

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from jobs.assigning import assign
from jobs.desk.plan_page import PlanPage
from jobs.desk.week import WeekPage, runs_out
from jobs.desk.week_days import How, working_days
from jobs.models import BookedTime, Job, Stands
from parts.expecting import expect
from parts.receiving import last_seen
from shop.models import Absence, Bay, BayClosure, Calibration, Certificate, ShopSettings, SignedHow
from tests.factories import CertificateFactory, EntryFactory, InstrumentFactory, PersonFactory
from tests.jobs.desk import Desk, another_car
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db
MONDAY = dt.date(2026, 3, 2)


def load(route: SmallRoute) -> WeekPage:
    return WeekPage.load(now=route.now)


def text_of(route: SmallRoute, who: str = "ash", query: str = "") -> str:
    return " ".join(Desk(route, who).page(f"/week/{query}").split())


def test_days_on_which_nobody_works_are_left_out() -> None:
    hours = {"mon": [["07:30", "12:00"]], "wed": [["07:30", "12:00"]], "thu": []}
    days = working_days(MONDAY, 3, hours=hours)
    assert [day.isoformat() for day in days] == ["2026-03-02", "2026-03-04", "2026-03-09"]
    assert working_days(MONDAY, 3, hours={}) == ()


def test_a_car_is_in_its_bay_until_it_is_ready(route: SmallRoute) -> None:
    Job.objects.update(promised_on=MONDAY)
    page = load(route)
    (row,) = page.bays[0].cars
    ready = page.days.index(row.car.ready_on)
    assert [cell.how for cell in row.cells] == [How.WORK] * (ready + 1) + [How.FREE] * (9 - ready)
    assert row.cells[0].words == "in work"
    assert row.cells[0].marks == ("promised",)
    assert "ready" in row.cells[ready].marks


def test_a_stopped_car_is_hatched_and_its_hold_listed(route: SmallRoute) -> None:
    route.count_kit()
    route.do("I10", "wren")
    assert load(route).bays[0].cars[0].cells[0].how == How.HELD
    page = text_of(route)
    assert "stopped" in page
    assert "The customer has not allowed the car to be cut, in writing" in page
    assert "stops the car" in page


def test_a_closed_bay_and_days_away_are_in_their_rows(route: SmallRoute) -> None:
    second = Bay.objects.create(number=2, name="Second bay")
    tuesday = MONDAY + dt.timedelta(days=1)
    BayClosure.objects.create(bay=second, first_day=tuesday, last_day=tuesday, reason="new floor")
    Absence.objects.create(person=route.people["fenn"], first_day=tuesday, last_day=tuesday)
    page = load(route)
    assert [cell.words for cell in page.bays[1].cells[:3]] == ["", "closed: new floor", ""]
    fenn = next(row for row in page.people if row.person == route.people["fenn"])
    assert [cell.how for cell in fenn.cells[:3]] == [How.FREE, How.AWAY, How.FREE]
    assert not any(row.person == route.people["pike"] for row in page.people)


def test_missing_parts_are_listed_by_need_and_told_when_they_come_too_late(route: SmallRoute) -> None:
    route.count_kit(TC_ARM=1, TC_CRADLE=0)
    page = load(route)
    assert [need.line.part_number for need in page.needs] == ["TC-CRADLE", "TC-ARM"]
    assert page.needs[0].needed_on <= page.needs[1].needed_on
    assert all(need.comes_too_late for need in page.needs)
    (row,) = page.bays[0].cars
    marks = {cell.day: cell.marks for cell in row.cells}
    assert "TC-CRADLE needed" in marks[page.needs[0].needed_on]
    assert "no date" in text_of(route)


def test_a_part_that_comes_on_the_very_day_is_too_late_and_says_why(route: SmallRoute) -> None:
    route.authorise()
    route.count_kit(TC_ARM=1)
    route.do("I10", "wren")
    (need,) = load(route).needs
    order = route.job.kit_order
    said = {"part_number": "TC-ARM", "eta": need.needed_on, "note": "by phone"}
    by = {"signer": route.people["pike"], "signed_how": SignedHow.DESK, "now": route.now}
    assert expect(order=order, entry_id=uuid.uuid4(), saw=last_seen(order), **said, **by).accepted
    (need,) = load(route).needs
    assert need.comes_too_late
    why = "comes on the very day it is needed, which is too late: it has to be here the day before"
    assert why in text_of(route)
    desk = Desk(route, "ash")
    job = route.job.number
    for page in (f"/jobs/{job}/", f"/jobs/?q={job}", f"/jobs/{job}/T10/"):
        assert "very day" in desk.page(page), page


def test_opened_after_closing_time_the_days_begin_with_the_next_working_day(route: SmallRoute) -> None:
    assert load(route).days[0] == MONDAY
    route.later(hours=11)
    assert load(route).days[0] == MONDAY + dt.timedelta(days=1)
    assert "The shop has closed for today: the days begin with Tuesday 3 March." in text_of(route)
    plan = PlanPage.load(now=route.now)
    assert plan.has_closed
    assert plan.window.days[0] == MONDAY + dt.timedelta(days=1)
    assert PlanPage.load(now=route.now, first=MONDAY).window.days[0] == MONDAY


def test_cars_on_stands_block_by_the_day(route: SmallRoute) -> None:
    assert "No car stands on stands." in text_of(route)
    Job.objects.update(stands=Stands.ON_STANDS, stands_since=route.now - dt.timedelta(days=3))
    page = text_of(route)
    assert "3 bay-days so far." in page
    assert "on stands since 27 Feb, 3 days" in page


def test_what_runs_out_within_sixty_days_is_listed_and_what_is_renewed_is_not(route: SmallRoute) -> None:
    Certificate.objects.all().delete()
    Calibration.objects.all().delete()
    today, fenn = MONDAY, route.people["fenn"]
    days = {"soon": 60, "later": 61, "over": -1}
    for name, ahead in days.items():
        until = today + dt.timedelta(days=ahead)
        CertificateFactory(person=PersonFactory(), number=name, valid_until=until)
    old = {"person": fenn, "skill": "inspection", "valid_from": today - dt.timedelta(days=900)}
    CertificateFactory(**old, number="old", valid_until=today - dt.timedelta(days=1))
    CertificateFactory(**old, number="new", valid_until=today + dt.timedelta(days=700))
    CertificateFactory(person=PersonFactory(is_active=False), number="gone", valid_until=today)
    InstrumentFactory(code="ZZ-1", is_withdrawn=True)
    found = runs_out(today=today)
    assert [row.certificate.number for row in found if row.certificate] == ["over", "soon"]
    assert {row.instrument.code for row in found if row.instrument} == {"TP-1", "LV-1", "TW-1", "AM-1"}
    assert all(row.is_over for row in found if row.instrument)
    assert "not in calibration" in text_of(route)


def test_cost_stands_beside_the_estimate(route: SmallRoute) -> None:
    first = Job.objects.get().operations.order_by("position").first()
    assert first is not None
    BookedTime.objects.create(
        job_operation=first,
        person=route.people["wren"],
        began_at=route.now - dt.timedelta(hours=2),
        ended_at=route.now,
        entry=EntryFactory(stream=route.job.stream, subject="I10"),
    )
    page = load(route)
    assert page.costs[0].cost.total == 2 * ShopSettings.current().labour_rate
    assert "190.00" in text_of(route)


def test_who_is_put_onto_a_car_is_shown_with_it_and_with_them(route: SmallRoute) -> None:
    assign(route.job, route.people["fenn"], by=route.people["ash"], now=route.now)
    page = load(route)
    assert [on.person for on in page.bays[0].cars[0].car.people] == [route.people["fenn"]]
    fenn = next(row for row in page.people if row.person == route.people["fenn"])
    assert [on.job.number for on in fenn.jobs] == [route.job.number]
    assert "Fabricator: 1001" in text_of(route)


def test_five_days_or_ten(route: SmallRoute) -> None:
    assert text_of(route, query="?days=5").count('class="week-day"') == 10  # two tables
    assert text_of(route, query="?days=nonsense").count('class="week-day"') == 20


def test_a_shop_without_hours_says_so_and_does_not_break(route: SmallRoute) -> None:
    Job.objects.update(released_at=route.now)
    ShopSettings.objects.create(hours={})
    assert "The shop has no working hours." in text_of(route)


def test_queries_do_not_grow_with_cars_and_people(route: SmallRoute) -> None:
    route.up_to("T20")
    desk = Desk(route, "ash")
    desk.get("/week/")
    with CaptureQueriesContext(connection) as one:
        desk.get("/week/")
    for number in range(2, 5):
        bay = Bay.objects.create(number=number, name=f"Bay {number}")
        Job.objects.filter(number=another_car(route)).update(bay=bay)
        assign(route.job, PersonFactory(), by=route.people["ash"], now=route.now)
    with CaptureQueriesContext(connection) as many:
        desk.get("/week/")
    assert len(many) == len(one)
