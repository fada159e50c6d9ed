"""The page on which a sheet that was filled by hand is typed in; what it records its own test says."""

import pytest
from django.test import Client
from django.urls import reverse

from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(("who", "status"), [("lind", 200), ("ash", 200), ("fenn", 403), ("wren", 403)])
def test_a_lead_or_the_manager_types_in(client: Client, route: SmallRoute, who: str, status: int) -> None:
    client.force_login(route.people[who])
    answer = client.get(reverse("jobs:sheet_typing", args=[route.job.number]))
    assert answer.status_code == status


def test_nothing_typed_is_told_and_nothing_recorded(client: Client, route: SmallRoute) -> None:
    client.force_login(route.people["lind"])
    before = route.record.last_entries
    answer = client.post(reverse("jobs:sheet_typing", args=[route.job.number]), {"day": "2026-02-30"})
    assert answer.status_code in {302, 422}
    assert route.record.last_entries == before
