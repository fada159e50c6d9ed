"""The plan that lies beside the one in force, and what it would change."""

import datetime as dt
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from jobs.desk.plan_lines import CarLine
from jobs.models import PlanSearch, StoredPlan
from jobs.plans.causes import words_of
from jobs.plans.comparing import Comparison, PlanRows
from jobs.plans.hours import Clock
from shop.models import ShopSettings

# So many moves are shown one by one; the rest is counted.
MOST_MOVES = 40


@dataclass(frozen=True)
class ProposalPage:
    """Both plans. No comparison where none is in force; no plan where none is beside it."""

    plan: StoredPlan | None
    comparison: Comparison | None
    since: Comparison | None
    cars: tuple[CarLine, ...]
    zone: ZoneInfo
    now: dt.datetime
    search: PlanSearch | None = None

    @classmethod
    def load(cls, *, now: dt.datetime) -> "ProposalPage":
        return cls._of(StoredPlan.objects.beside().select_related("search").first(), now=now)

    @classmethod
    def so_far(cls, *, now: dt.datetime) -> "ProposalPage":
        """The same of the best that the search has which goes on."""
        return cls._of(StoredPlan.objects.so_far().select_related("search").first(), now=now)

    @classmethod
    def _of(cls, beside: StoredPlan | None, *, now: dt.datetime) -> "ProposalPage":
        zone = ZoneInfo(ShopSettings.current().zone)
        present = StoredPlan.objects.in_force().select_related("accepted").first()
        old = PlanRows.load(present, zone=zone) if present else None
        comparison = Comparison(old, PlanRows.load(beside, zone=zone)) if beside and old else None
        accepted = present.accepted if present else None
        since = Comparison(PlanRows.load(accepted, zone=zone), old) if accepted and old else None
        cars = beside.cars.select_related("job__vehicle") if beside else ()
        lines = tuple(CarLine(row, Clock(zone)) for row in cars)
        return cls(beside, comparison, since, lines, zone, now, PlanSearch.objects.first())

    @property
    def because(self) -> str:
        """What asked for the search."""
        return words_of(self.plan.search.causes) if self.plan and self.plan.search else ""

    @property
    def more_moves(self) -> int:
        return max(0, len(self.comparison.work) - MOST_MOVES) if self.comparison else 0

    @property
    def seconds(self) -> int:
        return seconds_of(self.search, self.now)

    @property
    def late(self) -> int:
        """How many cars miss their promise in it."""
        return sum(1 for car in self.cars if car.days_late)


def seconds_of(search: PlanSearch | None, now: dt.datetime) -> int:
    """For how many seconds a search has gone on."""
    return max(0, int((now - search.begun_at).total_seconds())) if search and search.begun_at else 0
