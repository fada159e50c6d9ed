"""Where a car goes and who works on it: one page for the lead and the manager."""

import pytest
from django.test import Client
from django.urls import reverse

from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(("who", "status"), [("ash", 200), ("lind", 200), ("fenn", 403), ("pike", 403)])
def test_leads_and_the_manager_place_a_car(client: Client, route: SmallRoute, who: str, status: int) -> None:
    client.force_login(route.people[who])
    answer = client.get(reverse("jobs:car_place", args=[route.job.number]))
    assert answer.status_code == status
    assert status != 200 or str(route.job.number) in answer.content.decode()


def test_a_car_that_is_not_there_is_not_found(client: Client, route: SmallRoute) -> None:
    client.force_login(route.people["ash"])
    assert client.get(reverse("jobs:car_place", args=[9999])).status_code == 404
