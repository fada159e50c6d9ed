"""A search that is looked at while it goes on, and ended before its time."""

from jobs.planning.budget import Limits
from jobs.planning.checker import breaches
from jobs.planning.plan import SoFar
from jobs.planning.search import search
from tests.jobs.planning.small_shop import bay, job, operation, shop


def test_a_search_tells_what_it_has_and_stops_when_asked_to() -> None:
    cars = [
        job(f"J{n}", operation(f"{n}a", 240 + 30 * n), operation(f"{n}b", 150 + 15 * n)) for n in range(9)
    ]
    told: list[SoFar] = []
    problem = shop(*cars, bays=(bay("B1", "fab"), bay("B2", "fab")))
    found = search(problem, Limits(seconds=300, stop=lambda: bool(told)), told.append)
    assert breaches(problem, told[0].make().plan) == []
    assert found.objective <= told[0].objective
    assert not found.proven
