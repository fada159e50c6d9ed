"""The search against optima that are worked out by hand, and what our model knows beyond the neutral form."""

import datetime as dt
from dataclasses import replace

import pytest

from jobs.planning.budget import Limits
from jobs.planning.checker import breaches
from jobs.planning.objective import objective_of
from jobs.planning.plan import Proposal
from jobs.planning.problem import (
    SHOP,
    Calm,
    Certificate,
    Crew,
    Instrument,
    Pin,
    PinKind,
    Problem,
    Segment,
    Span,
    Status,
)
from jobs.planning.search import repair, search
from tests.jobs.planning.small_shop import at, bay, job, operation, person, planned, shop, span

TWO_BAYS = (bay("B1", "fab"), bay("B2", "fab"))


def begins(found: Proposal, op: str) -> dt.datetime:
    return found.plan.of[op].start


def test_the_shorter_car_goes_first_through_the_only_bay() -> None:
    """By hand: 8 slots and then 16 give 8 + 24 = 32; the other way round 16 + 24 = 40."""
    found = planned(shop(job("J1", operation("a", 240)), job("J2", operation("b", 120))))
    assert (found.objective, found.proven, found.bound) == (32, True, 32)
    assert begins(found, "a") == at(2, 10)


def test_a_heavy_promise_turns_the_order_round() -> None:
    """By hand: J1 is due at noon with weight 2; after J2 it would be 8 slots late and cost 160 more."""
    found = planned(
        shop(job("J1", operation("a", 240), due=at(2, 12), weight=2), job("J2", operation("b", 120)))
    )
    assert (found.objective, found.proven) == (40, True)
    assert begins(found, "b") == at(2, 13)


def test_waiting_with_an_empty_bay_can_be_best() -> None:
    """By hand: J2 arrives at 9 and ends at 11, in time, after 12 slots; J1 then ends after 12 + 20 = 32.
    With J1 first, from 8 to 14, J2 would be 16 slots late at weight 5."""
    problem = shop(
        job("J1", operation("a", 300)),
        job("J2", operation("b", 120), release=at(2, 9), due=at(2, 11), weight=5),
    )
    found = planned(problem)
    assert (found.objective, found.proven) == (44, True)
    assert begins(found, "b") == at(2, 9)


def test_two_people_two_bays_and_the_night() -> None:
    """By hand: 10 hours of work on each car, one a person: both end on Tuesday at 10, 40 slots each."""
    problem = shop(job("J1", operation("a", 600)), job("J2", operation("b", 600)), bays=TWO_BAYS)
    found = planned(problem)
    assert (found.objective, found.proven) == (80, True)
    assert {one.end for one in found.plan.assignments} == {at(3, 10)}
    assert {one.person for one in found.plan.assignments} == {"ann", "bob"}


def test_work_goes_on_after_an_absence() -> None:
    """By hand: ann is away on Tuesday; of ten hours begun on Monday at 8 two are left for Wednesday."""
    away = person("ann", "fab", absences=(Span(at(3), at(4)),))
    found = planned(shop(job("J1", operation("a", 600)), people=(away,)))
    assert found.plan.of["a"].end == at(4, 10)


def test_a_certificate_counts_on_its_days_only() -> None:
    lapsing = person("ann", certificates=(Certificate("weld", None, at(2).date()),))
    coming = person("bob", certificates=(Certificate("weld", at(4).date(), None),))
    problem = shop(job("J1", operation("a", 600, "weld")), people=(lapsing, coming))
    assert begins(planned(problem), "a") == at(4, 8)


def test_a_weld_and_its_watch_stay_in_one_shift() -> None:
    weld = operation("weld", 180, "weld", unbroken=True)
    watch = operation("watch", 60, "fab", unbroken=True, at_once_after="weld", after=("weld",))
    before = operation("prepare", 60)
    chain = before, replace(weld, after=("prepare",)), watch
    found = planned(shop(job("J1", *chain)))
    assert begins(found, "weld") == at(2, 13)
    assert begins(found, "watch") == at(2, 16)


def test_a_witness_is_a_second_person_who_is_there() -> None:
    problem = shop(
        job("J1", operation("a", 60, "weld", crew=(Crew("inspect"),))),
        people=(
            person("ann", "weld", "inspect"),
            person("bob", "inspect", absences=(Span(at(2), at(2, 13)),)),
        ),
    )
    found = planned(problem)
    assert (found.plan.of["a"].person, found.plan.of["a"].others) == ("ann", ("bob",))
    assert begins(found, "a") == at(2, 13)


def test_an_inspection_is_never_done_by_the_welder() -> None:
    both = person("ann", "weld", "inspect"), person("bob", "weld", "inspect")
    inspection = operation("b", 60, "inspect", after=("a",), not_same_person_as=("a",))
    found = planned(shop(job("J1", operation("a", 60, "weld"), inspection), people=both))
    assert found.plan.of["a"].person != found.plan.of["b"].person
    done = operation("a", 60, "weld", status=Status.DONE, person="ann")
    assert planned(shop(job("J1", done, inspection), people=both)).plan.of["b"].person == "bob"


def test_an_instrument_comes_back_first() -> None:
    out = Instrument("1", "gauge", (span(at(2), at(3, 10)),))
    found = planned(shop(job("J1", operation("a", instruments=("gauge",))), instruments=(out,)))
    assert begins(found, "a") == at(3, 10)


def test_a_car_goes_in_only_when_it_comes_out_before_the_bay_closes() -> None:
    closing = bay("B1", "fab", down=(Span(at(2, 12), at(3)),))
    problem = shop(job("J1", operation("a", 300)), bays=(closing,))
    assert begins(planned(problem), "a") == at(3, 8)
    weekend = bay("B1", "fab", down=(Span(at(7), at(8)),))
    late = shop(job("J1", operation("a", 600), release=at(6, 8)), bays=(weekend,))
    assert begins(planned(late), "a") == at(9, 8)


def test_a_car_that_does_not_roll_blocks_its_bay_until_the_rack_is_free() -> None:
    segments = Segment("main", frozenset({"fab"}), rolls=False), Segment("rack", frozenset({"rack"}))
    rack = operation("r", 60, segment="rack", after=("a",), parts_at=at(3, 8))
    problem = shop(
        job("J1", operation("a", 60), rack, segments=segments, weight=9, due=at(2, 9)),
        job("J2", operation("b", 60)),
        bays=(bay("B1", "fab"), bay("B2", "rack")),
        weights=SHOP,
    )
    assert begins(planned(problem), "b") in (at(2, 8), at(3, 8))


PINNED = shop(
    job("J1", operation("a", 60)),
    job("J2", operation("b", 120)),
    job("J3", operation("c", 180)),
    bays=TWO_BAYS,
)


def pinned(*pins: Pin) -> Proposal:
    return planned(replace(PINNED, pins=pins))


def test_pins_are_honoured() -> None:
    assert pinned(Pin("1", PinKind.BAY, job="J3", bay="B2")).plan.of["c"].bay == "B2"
    assert pinned(Pin("1", PinKind.PERSON, operation="a", person="bob")).plan.of["a"].person == "bob"
    assert begins(pinned(Pin("1", PinKind.NOT_BEFORE, job="J1", at=at(4, 8))), "a") >= at(4, 8)
    found = pinned(Pin("1", PinKind.NEXT_UP, job="J3"))
    assert begins(found, "c") <= min(begins(found, "a"), begins(found, "b"))


@pytest.mark.parametrize(
    ("pins", "clash"),
    [
        ((Pin("1", PinKind.BAY, job="J1", bay="B1"), Pin("2", PinKind.BAY, job="J1", bay="B2")), ("1", "2")),
        ((Pin("1", PinKind.PERSON, operation="a", person="cat"),), ("1",)),
    ],
)
def test_the_smallest_clashing_set_is_named_and_the_rest_honoured(
    pins: tuple[Pin, ...], clash: tuple[str, ...]
) -> None:
    kept = Pin("kept", PinKind.BAY, job="J2", bay="B2")
    people = (*PINNED.people, person("cat", "inspect"))
    found = planned(replace(PINNED, people=people, pins=(*pins, kept)))
    assert found.clashing_pins == clash
    assert found.plan.of["b"].bay == "B2"


def calm(problem: Problem, price: int) -> Problem:
    """J1 was accepted to go first, though the other order is 8 slots better."""
    starts = {"a": at(2, 8), "b": at(2, 13)}
    bays = {"a": "B1", "b": "B1"}
    return replace(problem, calm=Calm(at(4), price, starts, {"a": "ann", "b": "ann"}, bays))


def test_what_is_near_moves_for_a_greater_gain_only() -> None:
    problem = shop(
        job("J1", operation("a", 240)), job("J2", operation("b", 120)), people=(person("ann", "fab"),)
    )
    still = planned(calm(problem, price=5))
    assert (still.moved, still.objective) == ((), 40)
    better = planned(calm(problem, price=3))
    assert (set(better.moved), better.objective) == ({"a", "b"}, 32)


def test_a_repair_keeps_the_accepted_order() -> None:
    """Ann is away in the morning: the order stays, the times do not."""
    away = person("ann", "fab", absences=(Span(at(2), at(2, 10)),))
    problem = shop(job("J1", operation("a", 240)), job("J2", operation("b", 120)), people=(away,))
    found = repair(calm(problem, price=5))
    assert breaches(problem, found.plan) == []
    assert (begins(found, "a"), begins(found, "b")) == (at(2, 10), at(2, 15))


def test_a_repair_without_a_change_moves_nothing() -> None:
    """The accepted plan was searched for, so no rule alone would have made it."""
    problem = shop(
        job("J1", operation("a", 300)),
        job("J2", operation("b", 120), release=at(2, 9), due=at(2, 11), weight=5),
        job("J3", operation("c", 90), due=at(3, 9), weight=2),
        bays=TWO_BAYS,
    )
    plan = planned(problem).plan
    accepted = Calm(
        at(4),
        5,
        {one.op: one.start for one in plan.assignments},
        {one.op: one.person or "" for one in plan.assignments},
        {one.op: one.bay for one in plan.assignments},
    )
    found = repair(replace(problem, calm=accepted))
    assert (found.plan.assignments, found.moved) == (plan.assignments, ())


def test_two_workers_side_by_side_give_a_good_plan() -> None:
    jobs = [
        job(f"J{n}", *(operation(f"{n}-{k}", 45, after=(f"{n}-{k - 1}",) if k else ()) for k in range(18)))
        for n in range(7)
    ]
    problem = shop(*jobs, bays=TWO_BAYS)
    found = search(problem, Limits(seconds=0.8, workers=2))
    assert breaches(problem, found.plan) == []
    assert found.objective == objective_of(problem, found.plan)


def test_what_cannot_be_planned_is_told_and_the_rest_planned() -> None:
    problem = shop(
        job("J1", operation("a"), operation("x", skill="magic", after=("a",))),
        job("J2", operation("p", after=("q",)), operation("q", after=("p",))),
        job("J3", operation("long", 600, same_day=True)),
        job("J4", operation("r", segment="main"), segments=(Segment("main", frozenset({"rocket"})),)),
        job("J5", operation("good", parts_at=at(1)), due=at(1)),
    )
    found = planned(problem)
    assert set(found.plan.of) == {"good"}
    said = "\n".join(map(str, found.faults))
    for words in ("“magic”", "circle", "600 minutes on one date", "rocket", "which is past"):
        assert words in said
    assert all(fault.way_out for fault in found.faults)


def test_a_car_in_a_bay_is_planned_as_far_as_it_goes() -> None:
    problem = shop(
        job("J1", operation("a"), operation("x", skill="magic", after=("a",)), bay="B1"),
        job("J2", operation("b")),
    )
    found = planned(problem)
    assert set(found.plan.of) == {"a", "b"}
    assert begins(found, "b") == found.plan.of["a"].end
    assert "takes the bay for free" in "\n".join(map(str, found.faults))


def test_a_calendar_without_hours_plans_nothing_and_says_so() -> None:
    problem = shop(job("J1", operation("a")))
    empty = replace(problem, calendars=(replace(problem.calendars[0], week=((),) * 7),))
    found = search(empty)
    assert found.plan.assignments == ()
    assert "no working hours" in "\n".join(map(str, found.faults))


def test_the_same_seed_gives_the_same_plan() -> None:
    jobs = [
        job(f"J{n}", operation(f"a{n}", 60 + 15 * n), operation(f"b{n}", 90, after=(f"a{n}",)), due=at(3, 10))
        for n in range(6)
    ]
    problem = shop(*jobs, bays=TWO_BAYS)
    limits = Limits(seconds=None, work=0.2, seed=7)
    heard: list[int] = []
    found = search(problem, limits, lambda one: heard.append(one.objective))
    assert found == search(problem, limits)
    assert heard[-1] == found.objective == objective_of(problem, found.plan)
    assert heard == sorted(heard, reverse=True)
    assert found.bound is not None
    assert found.bound <= found.objective
