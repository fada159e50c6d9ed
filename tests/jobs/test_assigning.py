"""Moving a car from the floor and putting people onto it; a closed bay takes no car."""

import datetime as dt
import json

import pytest

from jobs.assigning import CannotAssignError, assign, assignments_of, take_off
from jobs.models import Assignment, Job, Stands
from jobs.opening import CannotOpenError
from shop.models import Absence, Bay, BayClosure, Event
from shop.verification import verify_record
from tests.jobs.bay import Bay as BayTablet
from tests.jobs.desk import Desk, give_pins
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db


def page_of(answer: object) -> str:
    return " ".join(answer.content.decode().split())  # type: ignore[attr-defined]


def place(route: SmallRoute, who: str = "ash") -> str:
    return " ".join(Desk(route, who).page("/jobs/1001/place/").split())


def test_somebody_is_put_onto_a_car_and_taken_off_with_events(route: SmallRoute) -> None:
    desk = Desk(route, "ash")
    answer = desk.post("/jobs/1001/place/people/", {"person": "fenn", "operation": "T10"})
    assert answer.headers["Location"] == "/jobs/1001/place/"
    row = Assignment.objects.get()
    assert (row.person, row.job_operation.operation.code) == (route.people["fenn"], "T10")
    assert "Take Fenn off" in place(route)
    assert "Fenn T10" in " ".join(desk.page("/floor/").split())
    desk.post(f"/jobs/1001/place/people/{row.pk}/off/", {})
    assert assignments_of([route.job]) == {}
    kinds = list(Event.objects.filter(kind__startswith="job.").values_list("kind", flat=True))
    assert kinds[-2:] == ["job.assigned", "job.taken_off"]
    said = json.loads(bytes(Event.objects.get(kind="job.assigned").payload))["data"]
    assert said["person"] == route.people["fenn"].pk
    assert verify_record().is_whole


def test_the_tablet_shows_who_is_put_onto_its_car(route: SmallRoute) -> None:
    give_pins(route)
    assign(route.job, route.people["moss"], by=route.people["ash"], now=route.now)
    assert "Put onto it: <b>Moss</b>" in page_of(BayTablet(route).get("/tablet/"))


def test_twice_is_once_and_a_done_operation_has_nobody_on_it(route: SmallRoute) -> None:
    operation = route.record.find("I10").job_operation  # type: ignore[union-attr]
    for _ in range(2):
        assign(route.job, route.people["wren"], operation=operation, by=route.people["ash"], now=route.now)
    assert Assignment.objects.count() == 1
    route.do("I10", "wren")
    assert assignments_of([route.job]) == {}


@pytest.mark.parametrize(
    ("posted", "told"),
    [
        ({"person": "", "operation": ""}, "Choose who"),
        ({"person": "nobody", "operation": ""}, "Choose who"),
        ({"person": "pike", "operation": ""}, "Choose who"),
        ({"person": "fenn", "operation": "X99"}, "X99"),
    ],
)
def test_bad_input_is_told_beside_its_field(posted: dict[str, str], told: str, route: SmallRoute) -> None:
    answer = Desk(route, "ash").post("/jobs/1001/place/people/", posted)
    assert answer.status_code == 422
    assert told in page_of(answer)
    assert not Assignment.objects.exists()


def test_nobody_is_put_onto_what_is_done_or_gone(route: SmallRoute) -> None:
    route.do("I10", "wren")
    done = route.record.find("I10").job_operation  # type: ignore[union-attr]
    with pytest.raises(CannotAssignError, match="I10 is finished"):
        assign(route.job, route.people["wren"], operation=done, by=route.people["ash"], now=route.now)
    with pytest.raises(CannotAssignError, match="does not work on cars"):
        assign(route.job, route.people["pike"], by=route.people["ash"], now=route.now)
    Job.objects.update(released_at=route.now)
    with pytest.raises(CannotAssignError, match="is released"):
        assign(route.job, route.people["fenn"], by=route.people["ash"], now=route.now)


def test_who_is_put_onto_it_and_away_is_told(route: SmallRoute) -> None:
    today = route.now.date()
    Absence.objects.create(person=route.people["fenn"], first_day=today, last_day=today)
    row = assign(route.job, route.people["fenn"], by=route.people["ash"], now=route.now)
    assert "Fenn is away until 2 Mar." in place(route)
    take_off(row, by=route.people["ash"], now=route.now)
    take_off(row, by=route.people["ash"], now=route.now)
    assert Event.objects.filter(kind="job.taken_off").count() == 1


def test_a_car_is_moved_from_the_floor_and_never_on_stands(route: SmallRoute) -> None:
    Bay.objects.create(number=2, name="Second bay")
    desk = Desk(route, "ash")
    assert "/jobs/1001/place/" in desk.page("/floor/")
    desk.enter("move", "move", bay="2", stands="on_wheels", next="/floor/")
    assert Job.objects.get().bay.number == 2  # type: ignore[union-attr]
    Job.objects.update(stands=Stands.ON_STANDS)
    assert "cannot move" in place(route)
    refused = desk.enter("move", "move", bay="1", stands="on_stands")
    assert refused.status_code == 422
    assert "A car on stands cannot be moved; set it on a dolly" in page_of(refused)
    assert desk.enter("move", "move", bay="", stands="on_dolly").status_code == 302
    assert Job.objects.get().bay is None
    assert "/jobs/1001/place/" not in Desk(route, "moss").page("/floor/")


def test_a_closed_bay_takes_no_car_on_its_days(route: SmallRoute) -> None:
    second = Bay.objects.create(number=2, name="Second bay")
    day = route.now.date()
    BayClosure.objects.create(bay=second, first_day=day, last_day=day, reason="new floor")
    desk = Desk(route, "ash")
    refused = desk.enter("move", "move", bay="2", stands="on_wheels")
    assert refused.status_code == 422
    assert "Bay 2 Second bay is closed until 2 Mar 2026: new floor" in page_of(refused)
    route.later(days=1)
    assert desk.enter("move", "move", bay="2", stands="on_wheels").status_code == 302


def test_a_car_that_stands_in_a_bay_which_closes_stays_there(route: SmallRoute) -> None:
    day = route.now.date()
    BayClosure.objects.create(bay=route.job.bay, first_day=day, last_day=day, reason="new floor")
    assert Desk(route, "ash").enter("move", "move", bay="1", stands="on_dolly").status_code == 302


def test_no_car_is_booked_into_a_closed_bay(route: SmallRoute) -> None:
    from jobs.opening import Booking, open_job
    from parts.models import KitOrder
    from shop.models import Customer, Vehicle

    second, day = Bay.objects.create(number=2, name="Second bay"), route.now.date()
    BayClosure.objects.create(bay=second, first_day=day, last_day=day + dt.timedelta(days=1), reason="paint")
    revision = route.job.procedure_revision
    order = KitOrder.objects.create(
        number="K-10", kit_revision=route.job.kit_order.kit_revision, ordered_on=day
    )
    customer = Customer(name="Other customer")
    vehicle = Vehicle(customer=customer, model_year=1965, description="Other car", serial="2")
    with pytest.raises(CannotOpenError, match="closed until"):
        open_job(
            Booking(customer, vehicle, revision, order, bay=second), by=route.people["ash"], now=route.now
        )
