"""A person chooses how they read figures."""

from django.test import Client

from shop.models import Person
from tests.jobs.small_route import SmallRoute


def test_each_chooses_on_their_own_page(route: SmallRoute) -> None:
    desk = Client()
    desk.force_login(route.people["lind"])
    assert desk.post("/me/", {"units": "metric", "fractions": "decimal"}).status_code == 302
    assert "793.8" in desk.get("/me/").content.decode()
    assert Person.objects.get(username="lind").units == "metric"
    assert desk.post("/me/", {"units": "cubits"}).status_code == 422
