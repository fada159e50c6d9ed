"""From the record to a planning problem: what is left, in which order, where, by whom, with which parts."""

import datetime as dt

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from jobs.models import BookedTime, PinKind
from jobs.planning.problem import Operation, Status
from jobs.plans.mapping import Mapped, problem_of
from jobs.plans.pinning import put_pin
from jobs.plans.shop_state import ShopState
from parts.models import KitOrder
from shop.models import Absence, Bay, BayClosure, Calibration, ShopSettings
from tests.factories import ExpectationFactory
from tests.jobs.desk import another_car
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db
MONDAY = dt.datetime(2026, 3, 2)  # noqa: DTZ001 - the clock of the shop


def mapped(route: SmallRoute) -> Mapped:
    return problem_of(ShopState.load(now=route.now))


def operation(found: Mapped, code: str) -> Operation:
    return found.problem.operation[f"1001/{code}"]


def test_a_route_is_a_chain_with_looks_a_watch_and_two_stays(route: SmallRoute) -> None:
    found = mapped(route)
    assert operation(found, "T20").after == ("1001/T10",)
    assert set(operation(found, "C20").after) == {"1001/C10", "1001/C10 look", "1001/T20", "1001/I10"}
    assert operation(found, "C10 look").not_same_person_as == ("1001/C10",)
    weld, watch = operation(found, "W30"), operation(found, "W30 watch")
    assert weld.same_day
    assert watch.same_day
    assert (watch.at_once_after, watch.minutes) == ("1001/W30", 60)
    assert "1001/W30 watch" in operation(found, "W40").after
    assert operation(found, "W40").not_same_person_as == ("1001/W30",)
    (job,) = found.problem.jobs
    assert [segment.rolls for segment in job.segments] == [True, True]
    assert operation(found, "I10").segment is None
    assert operation(found, "T10").segment == operation(found, "A20").segment == job.segments[0].id
    assert operation(found, "L10").segment == job.segments[1].id
    assert job.segments[0].bay is None, "it has not begun and rolls: it may go anywhere"


def test_what_has_begun_stays_in_its_bay_and_whoever_welded_does_not_judge(route: SmallRoute) -> None:
    route.up_to("W40")
    found = mapped(route)
    (job,) = found.problem.jobs
    assert job.segments[0].bay == "1"
    made = operation(found, "W30")
    assert (made.status, made.person) == (Status.DONE, "Fenn")
    assert "1001/T10" not in found.problem.operation


def test_what_somebody_has_in_hand_is_running_with_what_is_left(route: SmallRoute) -> None:
    route.up_to("T10")
    route.send("start", "T10", "fenn")
    route.later(minutes=50)
    running = operation(mapped(route), "T10")
    assert (running.status, running.person, running.remaining_minutes) == (Status.RUNNING, "Fenn", 75)
    route.later(hours=8)
    assert operation(mapped(route), "T10").remaining_minutes == 30, "longer than it should: little is said"
    BookedTime.objects.update(ended_at=route.now)
    assert operation(mapped(route), "T10").status is Status.TODO, "paused: anybody may go on with it"


def test_missing_parts_are_here_on_the_day_after_theirs_and_guesses_are_told(route: SmallRoute) -> None:
    route.count_kit(TC_CRADLE=0, TC_ARM=1)
    lines = {line.part_number: line for line in route.job.kit_order.kit_revision.lines.all()}
    order = KitOrder.objects.get()
    eta = dt.date(2026, 3, 11)
    ExpectationFactory(order=order, kit_line=lines["TC-CRADLE"], eta=eta, entry__stream="elsewhere")
    found = mapped(route)
    assert operation(found, "W20").parts_at == MONDAY + dt.timedelta(days=10)
    assert operation(found, "A10").parts_at == MONDAY + dt.timedelta(days=15)
    guess, authority = found.faults
    assert "the customer has not allowed the car to be cut" in authority.what
    assert authority.way_out == "Get it in writing before C20"
    assert "TC-ARM" in guess.what
    assert "nobody has said when it comes" in guess.what
    assert "16 Mar 2026 is counted with" in guess.way_out


def test_what_does_not_conform_is_told_with_the_car_it_holds(route: SmallRoute) -> None:
    route.up_to("C10")
    route.send("start", "C10", "fenn")
    route.read("C10.1", value="28")
    (hold,) = mapped(route).faults
    assert (hold.where, hold.way_out) == ("Job 1001, C10", "Decide about it")
    assert "nonconformance 1 is open" in hold.what


def test_people_have_the_skills_of_the_door_and_the_days_off_of_the_shop(route: SmallRoute) -> None:
    ShopSettings.objects.create(holiday_country="US")
    Absence.objects.create(person=route.people["fenn"], first_day=MONDAY, last_day=MONDAY)
    route.people["moss"].hours = {"mon": [["12:00", "20:00"]]}
    route.people["moss"].save()
    problem = mapped(route).problem
    fenn, moss, wren = (problem.person[name] for name in ("Fenn", "Moss", "Wren"))
    day = MONDAY.date()
    assert fenn.may("structural welding", day, day)
    assert not moss.ever_may("structural welding")
    assert moss.may("layout", day, day), "nobody holds a certificate for it: whoever works on cars may"
    assert not wren.ever_may("fabrication")
    assert fenn.absences[0].ends == MONDAY + dt.timedelta(days=1)
    shop = problem.calendar[fenn.calendar]
    assert shop.shifts_on(dt.date(2026, 7, 3)) == (), "Independence Day is kept on the Friday"
    assert [s.starts for s in problem.calendar[moss.calendar].shifts_on(day)] == [720]


def test_pins_closures_and_instruments_are_in_it(route: SmallRoute) -> None:
    second = Bay.objects.create(number=2, name="Second bay", features=["turn plates"])
    BayClosure.objects.create(bay=second, first_day=MONDAY, last_day=MONDAY, reason="new floor")
    ShopSettings.objects.create(stage_features={"alignment": ["turn plates"]}, holiday_country="XX")
    Calibration.objects.filter(instrument__code="LV-1").delete()
    put_pin(PinKind.BAY, route.job, bay=second, by=route.people["ash"], now=route.now)
    found = mapped(route)
    assert found.problem.bay["2"].down[0].starts == MONDAY
    assert found.problem.jobs[0].segments[1].bay_features == {"turn plates"}
    assert [(pin.job, pin.bay) for pin in found.problem.pins] == [("1001", "2")]
    assert operation(found, "T20").instruments == ("level",)
    words = " ".join(str(fault) for fault in found.faults)
    assert "public holidays of XX" in words
    assert "LV-1 is counted as back in a week" in words


def test_it_takes_no_more_queries_for_more_cars(route: SmallRoute) -> None:
    with CaptureQueriesContext(connection) as before:
        mapped(route)
    another_car(route)
    with CaptureQueriesContext(connection) as after:
        assert len(mapped(route).problem.jobs) == 2
    assert len(after) == len(before)
