"""Two customers who are one: jobs and cars move, old addresses lead on."""

import pytest

from jobs.customers.merging import CannotMergeError, merge_customers, merge_vehicles
from shop.models import Event
from shop.verification import verify_record
from tests.factories import CustomerFactory
from tests.jobs.customer_desk import known, other_job
from tests.jobs.desk import Desk
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db


def test_merged_jobs_and_cars_move_and_old_addresses_lead_on(desk: Desk, route: SmallRoute) -> None:
    kept, _ = known(phone="")
    job = other_job(route)
    other = job.customer
    older = CustomerFactory(name="Older", merged_into=other)
    merged = desk.post(f"/customers/{kept.pk}/merge/{other.pk}/", {"keep": str(kept.pk)})
    assert merged.headers["Location"] == f"/customers/{kept.pk}/"
    job.refresh_from_db()
    assert job.customer == job.vehicle.customer == kept
    for gone in (other, older):
        answer = desk.get(f"/customers/{gone.pk}/")
        assert answer.headers["Location"] == f"/customers/{kept.pk}/"
    assert "Other customer" not in desk.page("/customers/")
    told = Event.objects.filter(stream=job.stream).latest("sequence")
    assert told.kind == "job.customer_moved"
    assert str(job.pk) in bytes(told.payload).decode()
    assert verify_record().is_whole


def test_an_empty_phone_is_filled_from_the_other(route: SmallRoute) -> None:
    kept, _ = known(phone="", email="kept@example.org")
    other, _ = known(phone="555 0102 03", email="other@example.org")
    merge_customers(kept=kept, other=other, by=route.people["wren"], now=route.now)
    kept.refresh_from_db()
    assert (kept.phone, kept.email) == ("555 0102 03", "kept@example.org")


def test_what_is_one_already_is_not_merged_again(desk: Desk, route: SmallRoute) -> None:
    one, car = known()
    two, _ = known()
    by = route.people["wren"]
    with pytest.raises(CannotMergeError):
        merge_customers(kept=one, other=one, by=by, now=route.now)
    with pytest.raises(CannotMergeError):
        merge_vehicles(kept=car, other=car, by=by, now=route.now)
    merge_customers(kept=one, other=two, by=by, now=route.now)
    with pytest.raises(CannotMergeError):
        merge_customers(kept=one, other=two, by=by, now=route.now)
    assert desk.get(f"/customers/{one.pk}/merge/{two.pk}/").status_code == 404
    assert desk.get(f"/customers/{one.pk}/merge/{one.pk}/").status_code == 404
