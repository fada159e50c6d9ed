"""A customer erased on request; the record stays whole."""

import pytest

from jobs.customers.erasing import CannotEraseError, erase_customer
from jobs.models import Authority, Job
from shop.models import Customer, Entry, Vehicle
from shop.verification import verify_record
from tests.factories import CustomerFactory
from tests.jobs.customer_desk import known
from tests.jobs.desk import Desk
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db


def test_erased_on_request_the_record_stays_whole(desk: Desk, route: SmallRoute) -> None:
    route.authorise()
    job, customer = route.job, route.job.customer
    Customer.objects.filter(pk=customer.pk).update(phone="555 0100", email="test@example.org")
    Vehicle.objects.filter(pk=job.vehicle.pk).update(plate="DEMO 1")
    earlier = CustomerFactory(name="Earlier name", merged_into=customer)
    Job.objects.filter(pk=job.pk).update(released_at=route.now)
    page = f"/customers/{customer.pk}/erase/"
    assert "Erase Test customer?" in desk.page(page)
    assert desk.post(page, {}).status_code == 302
    customer.refresh_from_db()
    earlier.refresh_from_db()
    assert (customer.name, customer.phone, customer.email, earlier.name) == ("", "", "", "")
    assert customer.erased_at == route.now
    assert Vehicle.objects.get(pk=job.vehicle.pk).plate == ""
    assert Authority.objects.get().given_by == ""
    assert not Entry.objects.exclude(personal={}).exists()
    assert str(customer) == "(erased)"
    assert "(erased)" in desk.page("/jobs/?show=all")
    assert "were erased on request" in desk.page(f"/customers/{customer.pk}/")
    assert desk.get(f"/customers/{customer.pk}/edit/").status_code == 404
    found = [finding for finding in verify_record().findings if f"jobs.job:{job.pk}" not in finding.where]
    assert found == []


def test_nobody_is_erased_while_a_job_is_in_work(desk: Desk, route: SmallRoute) -> None:
    customer = route.job.customer
    page = f"/customers/{customer.pk}/erase/"
    assert "Job 1001 is still in work" in desk.page(page)
    desk.post(page, {})
    customer.refresh_from_db()
    assert customer.name == "Test customer"
    with pytest.raises(CannotEraseError):
        erase_customer(customer, by=route.people["wren"], now=route.now)
    somebody, _ = known()
    erase_customer(somebody, by=route.people["wren"], now=route.now)
    with pytest.raises(CannotEraseError, match="already"):
        erase_customer(somebody, by=route.people["wren"], now=route.now)
