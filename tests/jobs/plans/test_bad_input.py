"""What cannot be planned is told in words with the way out, and the rest of the shop is planned."""

import datetime as dt

import pytest

from jobs.models import Job, Operation, PinKind
from jobs.planning.checker import breaches
from jobs.planning.plan import Proposal
from jobs.plans.mapping import problem_of
from jobs.plans.pinning import clashing, pin_words, pins_of, put_pin
from jobs.plans.shop_state import ShopState
from jobs.plans.solver import ShopSolver
from parts.models import Expectation, KitOrder
from shop.models import Bay, Certificate, ShopSettings
from tests.factories import ExpectationFactory
from tests.jobs.desk import another_car
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db


def proposed(route: SmallRoute) -> Proposal:
    """A plan within very little work, the same on every machine; checked apart from the search."""
    problem = problem_of(ShopState.load(now=route.now)).problem
    found = ShopSolver(work=0.02).searched(problem)
    assert breaches(found.planned or problem, found.plan) == []
    return found


def test_an_operation_nobody_is_certified_for_is_told_and_the_car_that_is_begun_goes_as_far(
    route: SmallRoute,
) -> None:
    route.up_to("T20")
    Certificate.objects.filter(skill="structural welding").delete()
    found = proposed(route)
    words = " ".join(map(str, found.faults))
    assert "nobody has the skill “structural welding”" in words
    assert "Qualify somebody for it" in words
    planned = {one.op for one in found.plan.assignments}
    assert {"1001/T20", "1001/C20", "1001/W10"} <= planned
    assert "1001/W20" not in planned


def test_no_bay_with_the_feature_and_pins_that_clash_are_named(route: SmallRoute) -> None:
    Bay.objects.create(number=2, name="Second bay", features=["turn plates"])
    other = another_car(route)
    fenn, ash = route.people["fenn"], route.people["ash"]
    weld = route.job.operations.get(operation__code="W30")
    second = Job.objects.get(number=other)
    for job in (route.job, second):
        put_pin(PinKind.NEXT_UP, job, by=ash, now=route.now)
    put_pin(PinKind.PERSON, route.job, operation=weld, person=route.people["moss"], by=ash, now=route.now)
    found = proposed(route)
    named = clashing(found.clashing_pins, pins_of())
    assert [pin_words(pin) for pin in named] == ["Moss does W30 of job 1001"]
    assert {job.job for job in found.plan.jobs} == {"1001", str(other)}
    ShopSettings.objects.create(stage_features={"alignment": ["bump-steer plate"]})
    put_pin(PinKind.PERSON, route.job, operation=weld, person=fenn, by=ash, now=route.now)
    words = " ".join(map(str, proposed(route).faults))
    assert "no bay has what" in words
    assert "bump-steer plate" in words


def test_a_day_that_is_past_is_told_and_counted_with_as_tomorrow(route: SmallRoute) -> None:
    route.count_kit(TC_CRADLE=0)
    Job.objects.update(promised_on=route.now.date() - dt.timedelta(days=1))
    line = route.job.kit_order.kit_revision.lines.get(part_number="TC-CRADLE")
    eta = route.now.date() - dt.timedelta(days=4)
    ExpectationFactory(order=KitOrder.objects.get(), kit_line=line, eta=eta, entry__stream="elsewhere")
    assert Expectation.objects.count() == 1
    mapped = problem_of(ShopState.load(now=route.now))
    assert "was to come on 26 Feb 2026, which is past" in str(mapped.faults[0])
    found = proposed(route)
    assert "which is past" in " ".join(map(str, found.faults)), "the promise"
    assert found.plan.jobs[0].finish.date() == dt.date(2026, 3, 5)


def test_what_an_operation_takes_of_its_bay_is_planned_and_a_bay_that_lacks_it_is_told(
    route: SmallRoute,
) -> None:
    Operation.objects.filter(code="W30").update(bay_features=["welding outlet"])
    words = " ".join(map(str, proposed(route).faults))
    assert "welding outlet (for 1001/W30)" in words
    second = Bay.objects.create(number=2, name="Second bay", features=["welding outlet"])
    found = proposed(route)
    assert found.plan.of["1001/T10"].bay == found.plan.of["1001/W30"].bay == "2"
    second.delete()
    route.up_to("T20")
    told = [str(one) for one in problem_of(ShopState.load(now=route.now)).faults]
    assert any(
        "W30 takes welding outlet, which bay 1 has not, and the car cannot leave it" in one for one in told
    )


def test_a_car_that_rolls_goes_to_another_bay_for_what_the_work_takes(route: SmallRoute) -> None:
    Operation.objects.filter(code="T10").update(flags=[])
    Operation.objects.filter(code="T20").update(bay_features=["lift"])
    (job,) = problem_of(ShopState.load(now=route.now)).problem.jobs
    first = [one.id for one in job.operations if one.segment == job.segments[0].id]
    assert (first, len(job.segments)) == (["1001/T10"], 3)
    assert job.takes(job.segments[1]) == {"lift"}
