"""Customers and their cars: found, corrected, put together when doubled, erased on request."""

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from jobs.customers.doubles import doubles, name_key, phone_key, serial_key
from jobs.customers.erasing import CannotEraseError, erase_customer
from jobs.customers.merging import CannotMergeError, merge_customers, merge_vehicles
from jobs.models import Authority, Job
from shop.keeping import keep
from shop.models import Customer, Entry, Event, Vehicle
from shop.verification import verify_record
from tests.factories import NOON, CustomerFactory, PersonFactory, VehicleFactory
from tests.jobs.desk import Desk, another_car
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(route: SmallRoute) -> Desk:
    return Desk(route, "wren")


def other_job(route: SmallRoute) -> Job:
    return Job.objects.get(number=another_car(route))


def known(**fields: Any) -> tuple[Customer, Vehicle]:
    """Somebody beside the route's own, with a car."""
    customer = CustomerFactory(**{"name": "Ilse Quern", "phone": "+1 (555) 010-7788", **fields})
    car = VehicleFactory(customer=customer, serial="QX-77 1", plate="DEMO 44", description="Oldtest coupe")
    for row in (customer, car):
        keep(row, changed=(), added=True, by=PersonFactory(), now=NOON)
    return customer, car


@pytest.mark.parametrize("words", ["ilse", "QUERN Il", "010-7788", "demo 44", "qx-77", "coupe", "1966 quern"])
def test_a_customer_is_found_by_what_anybody_knows(words: str, desk: Desk) -> None:
    known()
    page = desk.get(f"/customers/?q={words}", target="customers").content.decode()
    assert page.lstrip().startswith('<div id="customers"')
    assert "Ilse Quern" in page
    assert "Test customer" not in page


@pytest.mark.parametrize("words", ["%", '"><script>', "x" * 3000, "\u202etest", "😀", "zzz"])
def test_odd_words_find_nobody_and_break_nothing(words: str, desk: Desk) -> None:
    answer = desk.client.get("/customers/", {"q": words})
    assert answer.status_code == 200
    assert "No customer has" in answer.content.decode()


def test_queries_do_not_grow_with_customers(desk: Desk, route: SmallRoute) -> None:
    pages = ["/customers/", "/customers/?show=doubles", f"/customers/{route.job.customer.pk}/"]
    known()
    known()
    before = [queries(desk, page) for page in pages]
    for _ in range(5):
        known()
        another_car(route)
        VehicleFactory(customer=route.job.customer)
    assert [queries(desk, page) for page in pages] == before


def queries(desk: Desk, page: str) -> int:
    desk.page(page)
    with CaptureQueriesContext(connection) as seen:
        desk.page(page)
    return len(seen)


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


def test_a_correction_is_kept_and_told_without_what_is_personal(desk: Desk, route: SmallRoute) -> None:
    customer = route.job.customer
    page = f"/customers/{customer.pk}/edit/"
    typed = {"name": "Test Customer II", "phone": "555 0101", "email": "two@example.org"}
    assert desk.post(page, {**typed, "seen": seen(desk, page)}).status_code == 302
    customer.refresh_from_db()
    assert (customer.name, customer.phone) == ("Test Customer II", "555 0101")
    told = bytes(Event.objects.filter(stream="shop").latest("sequence").payload).decode()
    assert "Customer II" not in told
    assert "phone" not in told
    assert verify_record().is_whole


def seen(desk: Desk, page: str) -> str:
    return desk.get(page).context["form"].state  # type: ignore[attr-defined, no-any-return]


def test_two_at_the_same_form_the_later_is_told(desk: Desk, route: SmallRoute) -> None:
    page = f"/vehicles/{route.job.vehicle.pk}/edit/"
    typed = {"model_year": "1966", "description": "Test car", "serial": "1", "plate": "NEW 1"}
    stale = seen(desk, page)
    assert desk.post(page, {**typed, "plate": "FIRST", "seen": stale}).status_code == 302
    answer = desk.post(page, {**typed, "seen": stale})
    assert answer.status_code == 409
    assert "FIRST" in answer.content.decode()
    assert 'value="NEW 1"' in answer.content.decode()
    assert desk.post(page, {**typed, "seen": seen(desk, page)}).status_code == 302
    route.job.vehicle.refresh_from_db()
    assert route.job.vehicle.plate == "NEW 1"
    assert not route.job.vehicle.north_america
    assert verify_record().is_whole


@pytest.mark.parametrize(
    ("what", "field", "value", "words"),
    [
        ("customers", "name", " ", "Enter the name"),
        ("customers", "name", "x" * 10_000, "at most 120"),
        ("customers", "email", "nobody", "Enter an e-mail address"),
        ("vehicles", "model_year", "66ish", "as four digits"),
        ("vehicles", "serial", "", "Enter the VIN"),
        ("vehicles", "serial", "x" * 50, "too long for a serial"),
    ],
)
def test_bad_input_is_told_and_kept(
    what: str, field: str, value: str, words: str, desk: Desk, route: SmallRoute
) -> None:
    row = route.job.customer if what == "customers" else route.job.vehicle
    page = f"/{what}/{row.pk}/edit/"
    typed = {"name": "N", "phone": "kept 123", "model_year": "1966", "description": "kept car", "serial": "1"}
    answer = desk.post(page, {**typed, field: value, "seen": seen(desk, page)})
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert "kept" in answer.content.decode()


def test_who_may_be_the_same_is_suggested_with_the_reason(desk: Desk, route: SmallRoute) -> None:
    first, _ = known()
    second, _ = known(name="Quern, Ilse", phone="555-010-7788", email="quern@example.org")
    third = CustomerFactory(name="Somebody", phone="12", email="QUERN@example.org")
    found = {(d.customer, d.other): d.why for d in doubles()}
    assert found[first, second] == "the same phone, the same name, a car of the same serial"
    assert found[second, third] == "the same e-mail"
    assert len(found) == 2
    page = desk.page(f"/customers/{first.pk}/")
    assert f'href="/customers/{first.pk}/merge/{second.pk}/"' in page
    assert "is here twice" in page
    assert "Quern, Ilse" in desk.page("/customers/?show=doubles")


def test_what_is_compared_of_phone_name_and_serial() -> None:
    assert phone_key("+44 (0)20 5550-1234") == phone_key("5550 1234") == "5501234"
    assert phone_key("110") == ""
    assert name_key("Quern,  ILSE") == name_key("ilse quern")
    assert serial_key("QX-77 1") == serial_key("qx771")


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


@pytest.mark.parametrize(("who", "status"), [("lind", 200), ("pike", 403), ("fenn", 403)])
def test_who_looks_at_customers(who: str, status: int, route: SmallRoute) -> None:
    desk = Desk(route, who)
    assert desk.get("/customers/").status_code == status
    assert desk.get(f"/customers/{route.job.customer.pk}/").status_code == status
    assert desk.get(f"/customers/{route.job.customer.pk}/edit/").status_code == 403
    assert desk.post(f"/customers/{route.job.customer.pk}/erase/", {}).status_code == 403
