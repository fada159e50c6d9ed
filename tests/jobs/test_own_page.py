"""A person chooses how they read figures, and sees when the plan has them at work."""

import datetime as dt

from django.test import Client
from django.utils import timezone
from django.utils.html import strip_tags

from shop.models import Absence, Person
from tests.jobs.small_route import SmallRoute


def test_each_chooses_on_their_own_page(route: SmallRoute) -> None:
    desk = Client()
    desk.force_login(route.people["lind"])
    assert desk.post("/me/", {"units": "metric", "fractions": "decimal"}).status_code == 302
    assert "793.8" in desk.get("/me/").content.decode()
    assert Person.objects.get(username="lind").units == "metric"
    assert desk.post("/me/", {"units": "cubits"}).status_code == 422


def test_each_sees_the_hours_and_days_away_that_the_plan_counts_with(route: SmallRoute) -> None:
    person = route.people["lind"]
    desk = Client()
    desk.force_login(person)
    said = desk.get("/me/").content.decode()
    assert "The shop's hours" in said
    person.hours = {"tue": [["06:00", "10:30"]]}
    person.save(update_fields=["hours"])
    day = timezone.localdate() + dt.timedelta(days=3)
    Absence.objects.create(person=person, first_day=day, last_day=day, note="Course")
    said = " ".join(strip_tags(desk.get("/me/").content.decode()).split())
    assert "Tuesday06:00 - 10:30" in said
    assert "Monday" not in said
    assert "Course" in said
