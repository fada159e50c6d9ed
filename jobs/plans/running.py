"""One search from its row to its plans: the accepted order carried on, then a better one laid beside it.

Nothing is solved in a transaction. It may be started twice and goes on once.
"""

import datetime as dt
import logging
from collections.abc import Callable
from typing import Protocol
from uuid import UUID
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db import transaction
from django.utils import timezone

from jobs.models import PlanOrigin, PlanSearch, StoredPlan
from jobs.planning.plan import Proposal
from jobs.planning.problem import Problem
from jobs.plans.asking import claim, end, holds, renew
from jobs.plans.deciding import carry_on, end_if_over, offer
from jobs.plans.forecasting import CarForecast, forecasts_of
from jobs.plans.history import uncertainty_of
from jobs.plans.mapping import Mapped, problem_of
from jobs.plans.shop_state import ShopState
from jobs.plans.storing import redate, store
from jobs.plans.watching import Looking, Watch, watched
from shop.models import ShopSettings

log = logging.getLogger(__name__)

Clock = Callable[[], dt.datetime]


class Solver(Protocol):
    """What finds plans; told apart so that a test can bring its own limit."""

    def carried_on(self, problem: Problem) -> Proposal:
        """The order that `problem.calm` has, with the times that are possible now."""
        ...

    def searched(self, problem: Problem, watch: Watch | None = None) -> Proposal:
        """A better plan, as good as it can be found within the solver's limit and before it is to stop."""
        ...


class NothingPlannedError(Exception):
    """Nothing at all could be planned; the words say why, each with its way out."""


class SearchLostError(Exception):
    """The search is in other hands; nothing more may be written by this attempt."""


def run(search_id: UUID, *, clock: Clock, solver: Solver) -> None:
    """Search for a plan, unless somebody does so already."""
    search = claim(search_id, now=clock())
    if search is None:
        return
    try:
        with timezone.override(ZoneInfo(ShopSettings.current().zone)):
            _search(search, clock, solver)
    except SearchLostError:
        log.warning("%s: attempt %s came too late", search, search.attempt)
    except NothingPlannedError as nothing:
        end(search, now=clock(), failure=str(nothing)[:1000])
    except Exception as error:
        log.exception("%s: attempt %s failed", search, search.attempt)
        end(search, now=clock(), failure=f"{type(error).__name__}: {error}"[:500])
    else:
        end(search, now=clock())


def _search(search: PlanSearch, clock: Clock, solver: Solver) -> None:
    end_if_over(now=clock())
    state = ShopState.load(now=clock())
    mapped = problem_of(state)
    if not mapped.problem.jobs:
        return
    if state.plan is not None:
        proposal = _planned(solver.carried_on(mapped.problem))
        _carried_on(search, proposal, mapped, state, clock)
        renew(search, now=clock())
        state = ShopState.load(now=clock())
        mapped = problem_of(state)
    looking = Looking(search, mapped, state)
    proposal = _planned(
        watched(lambda watch: solver.searched(mapped.problem, watch), looking, clock=clock),
    )
    renew(search, now=clock())
    about = uncertainty_of(mapped)
    forecasts = forecasts_of(mapped, proposal, about=about, samples=settings.PLAN_SAMPLES)
    _stored(search, proposal, mapped, state, PlanOrigin.SEARCHED, forecasts, clock())


def _planned(proposal: Proposal) -> Proposal:
    """The proposal, where anything is planned in it.

    Raises:
        NothingPlannedError: nothing is.
    """
    if not proposal.plan.assignments:
        raise NothingPlannedError("; ".join(str(fault) for fault in proposal.faults))
    return proposal


def _carried_on(
    search: PlanSearch, proposal: Proposal, mapped: Mapped, state: ShopState, clock: Clock
) -> None:
    """The accepted order with new dates, at once; what they are worth is then worked out thoroughly."""
    about, samples = uncertainty_of(mapped), settings.PLAN_SAMPLES
    at_once = forecasts_of(mapped, proposal, about=about, samples=samples, at_once=True)
    plan = _stored(search, proposal, mapped, state, PlanOrigin.CARRIED_ON, at_once, clock())
    renew(search, now=clock())
    redate(plan, forecasts_of(mapped, proposal, about=about, samples=samples))


@transaction.atomic
def _stored(
    search: PlanSearch,
    proposal: Proposal,
    mapped: Mapped,
    state: ShopState,
    origin: PlanOrigin,
    forecasts: dict[str, CarForecast],
    now: dt.datetime,
) -> StoredPlan:
    """Store a plan and say what becomes of it, as long as the search is still ours."""
    if not holds(search):
        raise SearchLostError(str(search))
    plan = store(proposal, mapped, state, origin=origin, now=now, search=search, forecasts=forecasts)
    if origin == PlanOrigin.CARRIED_ON:
        carry_on(plan, now=now)
    else:
        search.refresh_from_db(fields=["stop_asked_by"])
        offer(plan, now=now, wanted_by=search.stop_asked_by)
    return plan
