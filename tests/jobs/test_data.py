"""The page of what goes out and in, and the files themselves: for whoever may have them."""

from django.test import Client

from jobs.exchange.registry import TABLES
from tests.jobs.small_route import SmallRoute


def desk(route: SmallRoute, who: str = "ash") -> Client:
    client = Client()
    client.force_login(route.people[who])
    return client


def test_data(route: SmallRoute) -> None:
    page = desk(route).get("/data/").content.decode()
    for name in TABLES:
        assert f'href="/data/{name}.csv"' in page
        assert f'href="/data/{name}.yaml"' in page
        assert f'href="/data/{name}/"' in page


def test_files_are_for_those_who_may_have_them(route: SmallRoute) -> None:
    manager = desk(route)
    answer = manager.get("/data/people.csv")
    assert answer["Content-Disposition"] == 'attachment; filename="people.csv"'
    assert manager.get("/data/people.exe").status_code == 404
    assert manager.get("/data/nothing.csv").status_code == 404
    assert manager.get(f"/jobs/{route.job.number}/record.json").json()["format"] == 1
    for path in ("/data/", "/data/people.csv", "/data/people/"):
        assert desk(route, "lind").get(path).status_code == 403
    assert desk(route, "fenn").get(f"/jobs/{route.job.number}/record.json").status_code == 403
