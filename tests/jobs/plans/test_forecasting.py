"""What a stored plan's dates are worth, learned from the shop's own record."""

import datetime as dt

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from jobs.models import BookedTime, Job, PlannedCar, PlanOrigin, PlanState, StoredPlan
from jobs.plans import asking, history, running
from jobs.plans.asking import ask_for_search
from jobs.plans.dates import Forecast, chance_words, ready_words
from jobs.plans.deciding import accept
from jobs.plans.forecasting import forecasts_of
from jobs.plans.mapping import problem_of
from jobs.plans.shop_state import ShopState
from parts.models import KitOrder, Receipt
from tests.jobs.desk import Desk, another_car
from tests.jobs.plans.one_after_another import OneAfterAnother
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db
FRIDAY = dt.date(2026, 3, 13)


@pytest.fixture
def plan(route: SmallRoute, monkeypatch: pytest.MonkeyPatch) -> StoredPlan:
    """Two cars in a plan that is in force, one of them promised."""
    monkeypatch.setattr(asking, "send", lambda _id: None)
    another_car(route)
    Job.objects.filter(pk=route.job.pk).update(promised_on=dt.date(2026, 3, 20))
    row = ask_for_search(["manager"], now=route.now)
    running.run(row.pk, clock=lambda: route.now, solver=OneAfterAnother())
    found = StoredPlan.objects.beside().get()
    accept(found, by=route.people["ash"], now=route.now)
    return found


def test_a_stored_plan_says_what_its_dates_are_worth(route: SmallRoute, plan: StoredPlan) -> None:
    mine = plan.cars.get(job=route.job)
    others = plan.cars.exclude(job=route.job).get()
    for car in (mine, others):
        assert car.likely_on is not None
        assert car.safe_on is not None
        assert car.likely_on <= car.safe_on
    assert mine.promise_chance is not None
    assert 0 <= mine.promise_chance <= 1
    assert others.promise_chance is None, "nothing was promised for it"
    assert mine.late_because
    assert "takes longer than its standard time" in " ".join(one["text"] for one in mine.late_because)


def test_the_page_says_the_date_with_its_chances_and_what_may_make_it_later(
    route: SmallRoute, plan: StoredPlan
) -> None:
    page = " ".join(Desk(route, "ash").page("/plan/").split())
    safe = plan.cars.get(job=route.job).safe_on
    assert safe is not None
    assert f"ready by {safe:%A} {safe.day} {safe:%B}, 4 chances in 5" in page
    assert "What may make it later" in page
    assert "No car that had a date from a plan was handed over yet." in page
    assert "timeline-range" in page


def test_the_page_says_where_the_two_forecasts_differ_and_why(route: SmallRoute, plan: StoredPlan) -> None:
    car, days = plan.cars.filter(job=route.job), dt.timedelta(days=1)
    told = {"text": "in 4 runs of 10 its bay is still held", "share": 0.0, "apart": True}
    for earlier, said in (
        (5, "Worked out at once it would be 5 days earlier: in 4 runs of 10 its bay is still held."),
        (-3, "Worked out at once it would be 3 days later: in 4 runs of 10 its bay is still held."),
        (2, ""),
    ):
        car.update(
            likely_on=FRIDAY, at_once_likely_on=FRIDAY - earlier * days, late_because=[told] if said else []
        )
        page = " ".join(Desk(route, "ash").page("/plan/").split())
        assert said in page
        assert ("Worked out at once" in page) == bool(said)


def test_the_words_of_a_date() -> None:
    """A planned day alone is said to be no promise; a chance is never said to be certain."""
    assert ready_words(FRIDAY, None) == "planned for Friday 13 March, not a promise"
    assert ready_words(FRIDAY, Forecast(FRIDAY, FRIDAY)) == "ready by Friday 13 March, 4 chances in 5"
    assert chance_words(1.0) == "better than 9 chances in 10"
    assert chance_words(0.62) == "6 chances in 10"
    assert chance_words(0.0) == "less than 1 chance in 10"


def test_work_that_took_longer_moves_the_next_cars_dates(route: SmallRoute) -> None:
    route.up_to("C10")
    another_car(route)
    KitOrder.objects.update(expected_on=route.now.date())  # its kit does not say when it is ready
    mapped = problem_of(ShopState.load(now=route.now))
    proposal = OneAfterAnother().searched(mapped.problem)
    number = next(n for n in mapped.problem.job if n != str(route.job.number))

    def likely() -> dt.date:
        about = history.uncertainty_of(mapped)
        return forecasts_of(mapped, proposal, about=about, samples=60)[number].likely_on

    before = likely()
    for row in BookedTime.objects.filter(ended_at__isnull=False).select_related("job_operation__operation"):
        standard = row.job_operation.operation.standard_minutes
        BookedTime.objects.filter(pk=row.pk).update(
            ended_at=row.began_at + dt.timedelta(minutes=3 * standard)
        )
    assert {round(one.took_minutes / one.standard_minutes) for one in history.work_done()} == {3}
    assert likely() > before


def test_suppliers_and_dates_are_scored_from_what_happened(route: SmallRoute, plan: StoredPlan) -> None:
    route.count_kit()
    came = Receipt.objects.get()
    KitOrder.objects.filter(pk=came.order_id).update(expected_on=dt.date(2026, 2, 26))
    assert [one.days_late for one in history.deliveries()] == [4]
    assert history.score().count == 0
    PlannedCar.objects.filter(job=route.job).update(likely_on=FRIDAY, safe_on=FRIDAY + dt.timedelta(days=2))
    Job.objects.filter(pk=route.job.pk).update(released_at=dt.datetime(2026, 3, 16, 15, 0, tzinfo=dt.UTC))
    later = StoredPlan.objects.create(
        state=PlanState.REPLACED, origin=PlanOrigin.SEARCHED, made_at=route.now, decided_at=route.now
    )
    PlannedCar.objects.create(
        plan=later, job=route.job, ready_at=route.now, likely_on=dt.date(2026, 3, 16), safe_on=FRIDAY
    )
    score = history.score()
    assert (score.count, score.kept50, score.kept80) == (1, 0, 0), "what was said first counts"
    assert score.factor > 1
    page = " ".join(Desk(route, "ash").page("/plan/").split())
    assert "0 of 1; about four of five would be right" in page


def test_what_is_asked_of_the_record_does_not_grow_with_cars(route: SmallRoute) -> None:
    route.up_to("T20")
    mapped = problem_of(ShopState.load(now=route.now))
    with CaptureQueriesContext(connection) as one:
        history.uncertainty_of(mapped)
    for _n in range(3):
        another_car(route)
    mapped = problem_of(ShopState.load(now=route.now))
    with CaptureQueriesContext(connection) as many:
        history.uncertainty_of(mapped)
    assert len(many) == len(one)
