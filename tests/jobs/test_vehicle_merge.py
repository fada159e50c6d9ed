"""Two cars that are one: each job keeps the customer who brought it."""

import pytest

from jobs.models import Job
from shop.keeping import keep
from shop.verification import verify_record
from tests.jobs.customer_desk import known, other_job
from tests.jobs.desk import Desk
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db


def test_a_car_that_was_sold_keeps_its_jobs_and_each_its_customer(desk: Desk, route: SmallRoute) -> None:
    owner, car = known()
    job = other_job(route)
    with_serial(job, "qx 771")
    page = f"/vehicles/{car.pk}/merge/{job.vehicle.pk}/"
    assert "Are these two the same car?" in desk.page(page)
    desk.post(page, {"keep": str(car.pk)})
    old = job.vehicle.pk
    job.refresh_from_db()
    assert (job.vehicle, job.vehicle.customer, job.customer.name) == (car, owner, "Other customer")
    assert desk.get(f"/vehicles/{old}/").headers["Location"] == f"/vehicles/{car.pk}/"
    assert verify_record().is_whole


def with_serial(job: Job, serial: str) -> None:
    job.vehicle.serial = serial
    keep(job.vehicle, changed=("serial",), added=False, by=job.opened_by, now=job.opened_at)


def test_two_cars_of_different_serials_are_never_put_together(desk: Desk, route: SmallRoute) -> None:
    """What was cut, welded and measured of one car must not stand under the other."""
    _owner, car = known()
    job = other_job(route)
    with_serial(job, "QX-77 7")
    desk.post(f"/vehicles/{car.pk}/merge/{job.vehicle.pk}/", {"keep": str(car.pk)})
    assert "two cars by their serials" in desk.page(f"/vehicles/{car.pk}/")
    job.refresh_from_db()
    assert job.vehicle != car
