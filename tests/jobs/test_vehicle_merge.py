"""Two cars that are one: each job keeps the customer who brought it."""

import pytest

from shop.verification import verify_record
from tests.jobs.customer_desk import known, other_job
from tests.jobs.desk import Desk
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db


def test_a_car_that_was_sold_keeps_its_jobs_and_each_its_customer(desk: Desk, route: SmallRoute) -> None:
    owner, car = known()
    job = other_job(route)
    page = f"/vehicles/{car.pk}/merge/{job.vehicle.pk}/"
    assert "Are these two the same car?" in desk.page(page)
    desk.post(page, {"keep": str(car.pk)})
    old = job.vehicle.pk
    job.refresh_from_db()
    assert (job.vehicle, job.vehicle.customer, job.customer.name) == (car, owner, "Other customer")
    assert desk.get(f"/vehicles/{old}/").headers["Location"] == f"/vehicles/{car.pk}/"
    assert verify_record().is_whole
