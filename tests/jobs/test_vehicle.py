"""One car with its owner and every job."""

import pytest

from tests.jobs.customer_desk import other_job
from tests.jobs.desk import Desk
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db


def test_a_car_shows_its_owner_and_every_job(desk: Desk, route: SmallRoute) -> None:
    job = other_job(route)
    page = desk.page(f"/vehicles/{job.vehicle.pk}/")
    assert "Other customer" in page
    assert f'href="/jobs/{job.number}/"' in page
    assert f'href="/jobs/open/?known=v{job.vehicle.pk}"' in page
    assert desk.get("/vehicles/999999/").status_code == 404
