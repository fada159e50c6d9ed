"""The plan of the demo: searched for and accepted as a shop does it, for cars of before and for those of now.

It is solved within the one transaction of the loading: all of the demo or nothing, and nobody else is there.
"""

import datetime as dt

from jobs.models import PlanSearch, SearchState, StoredPlan
from jobs.plans.asking import ask_for_search
from jobs.plans.deciding import accept
from jobs.plans.running import run
from jobs.plans.solver import ShopSolver
from shop.models import Person

# So much work, counted the same everywhere: more than six cars take.
WORK = 1.0


def plan_shop(*, by: Person, now: dt.datetime) -> None:
    """A plan for what is in the shop at that time, accepted by the manager.

    Raises:
        RuntimeError: none was found.
    """
    asked = ask_for_search(["manager"], by=by, now=now)
    run(asked.pk, clock=lambda: now, solver=ShopSolver(work=WORK))
    search = PlanSearch.objects.get(pk=asked.pk)
    found = StoredPlan.objects.beside().first()
    if search.state != SearchState.DONE or found is None:
        raise RuntimeError(f"no plan was found: {search.failure}")
    accept(found, by=by, now=now)
