"""Customers and their cars, found as one types; who may stand in the list twice."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from jobs.customers.doubles import doubles, name_key, phone_key, serial_key
from tests.factories import CustomerFactory, VehicleFactory
from tests.jobs.customer_desk import known
from tests.jobs.desk import Desk, another_car
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db


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
