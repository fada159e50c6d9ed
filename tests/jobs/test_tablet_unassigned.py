"""A browser that is no tablet of a bay gets nothing of the floor."""

import pytest
from django.test import Client

from jobs.models import Job
from tests.jobs.small_route import SmallRoute


def test_it_says_how_it_becomes_one(route: SmallRoute, client: Client) -> None:
    answer = client.get("/tablet/")
    assert answer.status_code == 403
    assert "The manager makes a code under Tablets" in answer.content.decode()


@pytest.mark.parametrize("path", ["/tablet/1001/C10/", "/tablet/1001/C10/problem/"])
def test_no_page_of_a_car_is_shown(route: SmallRoute, client: Client, path: str) -> None:
    assert client.get(path).headers["Location"] == "/tablet/"


def test_no_entry_is_taken(route: SmallRoute, client: Client) -> None:
    answer = client.post("/tablet/1001/entries/", {"kind": "start", "subject": "I10"})
    assert answer.headers["Location"] == "/tablet/"
    assert Job.objects.get().operations.filter(state="in_work").count() == 0
