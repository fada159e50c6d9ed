"""What stands or runs as it cannot, what takes no time, what takes long: told, and the rest planned."""

from dataclasses import replace

import pytest

from jobs.planning.plan import Proposal
from jobs.planning.problem import Calendar, Operation, Problem, Segment, Shift, Status
from jobs.planning.search import search
from tests.jobs.planning.small_shop import LIMITS, NOW, at, bay, job, operation, person, planned, shop, span

TWO_BAYS = (bay("B1", "fab"), bay("B2", "fab"))


def runs(name: str, who: str, minutes: int = 60, **more: object) -> Operation:
    started = NOW.replace(hour=7)
    return operation(
        name, status=Status.RUNNING, person=who, started=started, remaining_minutes=minutes, **more
    )


def told(found: Proposal) -> str:
    return "\n".join(map(str, found.faults))


def test_one_person_at_two_works_is_told_and_the_first_goes_on() -> None:
    problem = shop(
        job("J1", runs("a", "ann"), bay="B1"),
        job("J2", runs("b", "ann"), operation("c", after=("b",)), bay="B2"),
        job("J3", operation("d", segment=None)),
        bays=TWO_BAYS,
    )
    found = planned(problem)
    assert set(found.plan.of) == {"a", "d"}
    assert "J2, b: ann is said to be at it, and at a at the same time. Pause one" in told(found)


def test_two_cars_in_one_bay_are_told_and_the_first_stays() -> None:
    problem = shop(
        job("J1", operation("a"), bay="B1"),
        job("J2", operation("b"), operation("c"), bay="B1"),
        job("J3", operation("d")),
        bays=TWO_BAYS,
    )
    found = planned(problem)
    assert set(found.plan.of) == {"a", "d"}
    assert "J2, b: is said to stand in B1, and so is J1" in told(found)


def test_a_car_in_two_bays_is_told() -> None:
    segments = Segment("main", frozenset(), "B1"), Segment("rack", frozenset(), "B2")
    rack = operation("b", segment="rack", after=("a",))
    found = planned(shop(job("J1", operation("a"), rack, segments=segments), bays=TWO_BAYS))
    assert set(found.plan.of) == {"a"}
    assert "stand in B1 and B2 at the same time" in told(found)


@pytest.mark.parametrize("opens", [at(2, 12), at(5)])
def test_a_car_in_a_bay_that_is_closed_now_is_told(opens: object) -> None:
    closed = bay("B1", "fab", down=(span(at(1), opens),))  # type: ignore[arg-type]
    problem = shop(job("J1", operation("a"), bay="B1"), job("J2", operation("b")), bays=(closed, TWO_BAYS[1]))
    found = planned(problem)
    assert set(found.plan.of) == {"b"}
    assert "stands in B1, which is closed now" in told(found)


def test_a_bay_that_closes_in_a_night_holds_no_car_over_it() -> None:
    """From Monday's end to Tuesday's beginning: no work is lost, but nothing may stand there."""
    night = bay("B1", "fab", down=(span(at(2, 18), at(3, 6)),))
    stands = shop(job("J1", operation("a", 600), bay="B1"), job("J2", operation("b")), bays=(night,))
    found = planned(stands)
    assert set(found.plan.of) == {"b"}
    assert "J1: stands in B1, which closes on Monday 2 March 2026, and cannot leave it before" in told(found)
    comes = planned(shop(job("J1", operation("a", 600)), bays=(night,)))
    assert comes.plan.of["a"].start == at(3, 8)


def test_what_takes_no_time_falls_between_two_works_and_not_into_one() -> None:
    """Ann works on a, b and c from 8 to 15 with lunch; z is heavy and has to be between them."""
    works = [job(f"J{n}", operation(n, segment=None)) for n in "abc"]
    look = operation("z", 0, "weld", segment=None, parts_at=at(2, 9))
    problem = shop(*works, job("Z", look, weight=9, due=at(2, 8)), people=(person("ann", "fab", "weld"),))
    found = planned(problem)
    z = found.plan.of["z"].start
    assert found.proven
    assert not any(one.start < z < one.end for one in found.plan.assignments)


def test_a_car_passes_through_a_bay_at_an_instant_at_which_no_other_stands_there() -> None:
    problem = shop(
        job("J1", operation("a", 480), bay="B1"),
        job("J2", operation("z", 0, "weld"), weight=50, due=at(2, 8)),
    )
    assert planned(problem).plan.of["z"].start == at(3, 8)


def test_segments_in_no_order_do_not_lock_the_only_bay() -> None:
    """What is longest would go in first, and then wait in the bay for what needs the same bay."""
    segments = tuple(Segment(name, frozenset({"fab"})) for name in ("one", "two"))
    car = (
        operation("a", 60, segment="one"),
        operation("b", 960, segment="two"),
        operation("c", 240, segment="two", after=("a",)),
    )
    found = planned(shop(job("J1", *car, segments=segments)))
    assert (set(found.plan.of), found.faults) == ({"a", "b", "c"}, ())


def test_an_hour_a_week_takes_its_weeks() -> None:
    """By hand: 40 hours at one a week, on Wednesdays from the 4th: the last is 39 weeks later."""
    hour = Calendar("hour", ((), (), (Shift(540, 600),), (), (), (), ()))
    found = planned(
        shop(
            job("J1", operation("a", 2400, segment=None)),
            calendars=(hour,),
            people=(person("ann", "fab", calendar="hour"),),
        )
    )
    assert found.plan.of["a"].end.isoformat() == "2026-12-02T10:00:00"


def test_work_that_nobody_but_who_does_it_in_another_car_may_do_is_told() -> None:
    alone = (person("ann", "fab", "weld"),)
    problem = shop(
        job("J1", operation("a", segment=None)),
        job("J2", operation("b", segment=None, not_same_person_as=("a",))),
        job("J3", operation("c", segment=None, not_same_person_as=("c",))),
        people=alone,
    )
    found = planned(problem)
    assert set(found.plan.of) == {"a"}
    assert "J2, b: has to be done by somebody else than a, and besides ann" in told(found)
    assert "J3, c: has to be done by somebody else than whoever does it" in told(found)


def test_cars_that_wait_for_each_others_bays_are_named_and_the_others_planned() -> None:
    """Each stands in the bay that the other needs before it can leave its own."""

    def crossed(name: str, bay: str, needs: str) -> object:
        segments = Segment("here", frozenset(), bay), Segment("there", frozenset({needs}))
        there = operation(f"{name}there", segment="there")
        return job(
            name, there, operation(f"{name}here", segment="here", after=(there.id,)), segments=segments
        )

    bays = bay("B1", "one"), bay("B2", "two"), bay("B3", "fab")
    cars = crossed("J1", "B1", "two"), crossed("J2", "B2", "one"), job("J3", operation("c"))
    found = planned(shop(*cars, bays=bays))  # type: ignore[arg-type]
    assert "c" in found.plan.of
    assert "J2: no order was found in which it gets through together with the other cars" in told(found)


def test_nothing_to_do_is_an_empty_plan() -> None:
    done: Problem = shop(job("J1", operation("a", status=Status.DONE)))
    for problem in (done, replace(done, jobs=())):
        found = search(problem, LIMITS)
        assert (found.plan.assignments, found.faults) == ((), ())


def test_what_takes_no_time_ends_a_stay_when_its_hour_comes() -> None:
    """Done on Wednesday at 8 and no sooner, so the closure of the night before lies in the stay."""
    night = bay("B1", "fab", down=(span(at(3, 18), at(3, 20)),))
    look = operation("z", 0, after=("a",), parts_at=at(4, 8))
    found = planned(shop(job("J1", operation("a"), look), bays=(night,)))
    assert (found.plan.of["a"].start, found.proven) == (at(4, 8), True)
