"""A plan and its forecasts over a night on which the clocks are changed, in a zone that does so.

The same shop two weeks earlier, with no change in between, is the second opinion: by the shop's clock all is
the same but for the date. The days are those of the IANA time zone database.
"""

import datetime as dt
from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest

from jobs.models import PlanOrigin
from jobs.planning.checker import breaches
from jobs.planning.plan import Proposal
from jobs.planning.search import repair
from jobs.plans import history
from jobs.plans.forecasting import CarForecast, forecasts_of
from jobs.plans.mapping import Mapped, problem_of
from jobs.plans.shop_state import ShopState
from jobs.plans.storing import store
from shop.models import ShopSettings
from tests.jobs.desk import another_car
from tests.jobs.planning.forecast.certain import NEVER_LATE
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db
TWO_WEEKS = dt.timedelta(days=14)
# The Friday before the change at eight in the morning, and by how much the clock is put forward.
SPRING = ("America/Chicago", dt.datetime.fromisoformat("2026-03-06T08:00"), dt.timedelta(hours=1))
AUTUMN = ("Australia/Sydney", dt.datetime.fromisoformat("2026-04-03T08:00"), dt.timedelta(hours=-1))


def planned(now: dt.datetime) -> tuple[ShopState, Mapped, Proposal]:
    state = ShopState.load(now=now)
    mapped = problem_of(state)
    proposal = repair(mapped.problem)
    assert breaches(proposal.planned or mapped.problem, proposal.plan) == []
    return state, mapped, proposal


def dates(mapped: Mapped, proposal: Proposal) -> dict[str, CarForecast]:
    """Suppliers are in time: their luck is another for another day."""
    about = replace(history.uncertainty_of(mapped), lateness=NEVER_LATE, by_supplier={})
    return forecasts_of(mapped, proposal, about=about, samples=60)


@pytest.mark.parametrize(("zone", "friday", "forward"), [SPRING, AUTUMN], ids=["spring", "autumn"])
def test_hours_of_work_and_dates_stay_those_of_the_shops_clock(
    zone: str, friday: dt.datetime, forward: dt.timedelta, route: SmallRoute
) -> None:
    another_car(route)
    settings = ShopSettings.current()
    settings.zone = zone
    settings.save()
    moment = friday.replace(tzinfo=ZoneInfo(zone))
    state, mapped, proposal = planned(moment)
    _, mapped_before, before = planned((friday - TWO_WEEKS).replace(tzinfo=ZoneInfo(zone)))
    earlier = {one.op: one for one in before.plan.assignments}
    assert len(proposal.plan.assignments) == len(earlier) > 10
    for one in proposal.plan.assignments:
        was = earlier[one.op]
        assert (one.start - was.start, one.end - was.end, one.person) == (TWO_WEEKS, TWO_WEEKS, was.person)
    after, then = dates(mapped, proposal), dates(mapped_before, before)
    assert after.keys() == then.keys()
    for name, car in after.items():
        for field in ("likely_on", "safe_on", "at_once_likely_on", "at_once_safe_on"):
            assert getattr(car, field) - getattr(then[name], field) == TWO_WEEKS, (name, field)
    plan = store(proposal, mapped, state, origin=PlanOrigin.SEARCHED, now=state.now, forecasts=after)
    rows = list(plan.operations.order_by("starts_at"))
    local = [row.starts_at.astimezone(ZoneInfo(zone)) for row in rows]
    assert local[0].date() < friday.date() + dt.timedelta(days=2) < local[-1].date()
    assert {at.utcoffset() for at in local} == {moment.utcoffset(), moment.utcoffset() + forward}  # type: ignore[operator]
    mine = {one.start for one in proposal.plan.assignments}
    assert {at.replace(tzinfo=None) for at in local} == mine
