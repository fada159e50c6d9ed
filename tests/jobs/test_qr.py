"""The code on a traveler leads to the operation: on the tablet of the car's bay, else at the desk."""

import pytest
from django.test import Client

from shop.models import Bay
from shop.tablets import COOKIE, assign, give_credential
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db
CODE = "/q/1001/C10/"


def tablet_in(route: SmallRoute, bay: Bay) -> Client:
    from django.http import HttpResponse

    _tablet, token = assign(bay, by=route.people["ash"], now=route.now)
    response, client = HttpResponse(), Client()
    give_credential(response, token)
    client.cookies[COOKIE] = response.cookies[COOKIE].value
    return client


def test_the_tablet_of_the_cars_bay_opens_its_own_page(route: SmallRoute) -> None:
    answer = tablet_in(route, Bay.objects.get()).get(CODE)
    assert answer.headers["Location"] == "/tablet/1001/C10/"


def test_a_tablet_of_another_bay_and_any_other_browser_open_the_desks(route: SmallRoute) -> None:
    other = Bay.objects.create(number=2, name="Second bay")
    for client in (tablet_in(route, other), Client()):
        assert client.get(CODE).headers["Location"] == "/jobs/1001/C10/"
