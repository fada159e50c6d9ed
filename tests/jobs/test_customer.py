"""One customer: every car, every job, and who may look."""

import pytest

from jobs.models import Job
from tests.jobs.customer_desk import other_job
from tests.jobs.desk import Desk
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db


def test_a_page_shows_every_car_and_job(desk: Desk, route: SmallRoute) -> None:
    job = other_job(route)
    Job.objects.filter(pk=job.pk).update(released_at=route.now)
    page = desk.page(f"/customers/{job.customer.pk}/")
    assert f'href="/jobs/{job.number}/"' in page
    assert "1965 Other car" in page
    assert f"released {route.now:%-d %b}" in page
    car = desk.page(f"/vehicles/{job.vehicle.pk}/")
    assert "Other customer" in car
    assert f'href="/jobs/open/?known=v{job.vehicle.pk}"' in car


@pytest.mark.parametrize(("who", "status"), [("lind", 200), ("pike", 403), ("fenn", 403)])
def test_who_looks_at_customers(who: str, status: int, route: SmallRoute) -> None:
    desk = Desk(route, who)
    assert desk.get("/customers/").status_code == status
    assert desk.get(f"/customers/{route.job.customer.pk}/").status_code == status
    assert desk.get(f"/customers/{route.job.customer.pk}/edit/").status_code == 403
    assert desk.post(f"/customers/{route.job.customer.pk}/erase/", {}).status_code == 403
