"""The plan that lies beside the one in force, and what it would change."""

import datetime as dt
from dataclasses import dataclass, replace
from functools import cached_property
from zoneinfo import ZoneInfo

from jobs.desk.plan_cars import CarList
from jobs.desk.plan_faults import FaultLine, fault_lines
from jobs.desk.plan_lines import CarLine
from jobs.desk.plan_moves import CarDates, dates_of
from jobs.desk.plan_totals import PlanTotals
from jobs.models import PlanSearch, StoredPlan
from jobs.plans.causes import words_of
from jobs.plans.comparing import Comparison, PlanRows
from jobs.plans.hours import YEARS_AHEAD, Clock, calendar_of, days_off
from shop.models import ShopSettings

# So many moves are shown one by one; the rest is counted.
MOST_MOVES = 40
# So many rows lie open; more of them are folded under their number.
MOST_OPEN = 8


@dataclass(frozen=True)
class ProposalPage:
    """Both plans. No comparison where none is in force; no plan where none is beside it."""

    plan: StoredPlan | None
    comparison: Comparison | None
    accepted: PlanRows | None
    cars: tuple[CarLine, ...]
    settings: ShopSettings
    now: dt.datetime
    search: PlanSearch | None = None
    seen: int | None = None

    @classmethod
    def load(cls, *, now: dt.datetime) -> "ProposalPage":
        return cls._of(StoredPlan.objects.beside().select_related("search").first(), now=now)

    @classmethod
    def so_far(cls, *, now: dt.datetime, seen: int | None = None) -> "ProposalPage":
        """The same of the best that the search has which goes on; `seen` is the one that is looked at."""
        newest = StoredPlan.objects.so_far().select_related("search").first()
        return replace(cls._of(newest, now=now), seen=seen)

    @classmethod
    def _of(cls, beside: StoredPlan | None, *, now: dt.datetime) -> "ProposalPage":
        settings = ShopSettings.current()
        zone = ZoneInfo(settings.zone)
        present = StoredPlan.objects.in_force().select_related("accepted").first()
        old = PlanRows.load(present, zone=zone) if present else None
        comparison = Comparison(old, PlanRows.load(beside, zone=zone)) if beside and old else None
        accepted = present.accepted if present and present.accepted else None
        cars = beside.cars.select_related("job__vehicle", "job__customer") if beside else ()
        lines = tuple(CarLine(row, Clock(zone)) for row in cars)
        then = PlanRows.load(accepted, zone=zone, with_work=False) if accepted else None
        found = cls(beside, comparison, then, lines, settings, now, PlanSearch.objects.first())
        return found if beside or not old else replace(found, comparison=Comparison(old, old))

    @cached_property
    def moves(self) -> tuple[CarDates, ...]:
        """Every car with another date than it had, what matters first."""
        if self.comparison is None:
            return ()
        found = dates_of(self.accepted, self.comparison.before, self.comparison.after)
        return tuple(sorted((one for one in found if one.moves), key=lambda one: one.weight))

    @property
    def promises(self) -> tuple[CarDates, ...]:
        return tuple(one for one in self.moves if one.touches_promise)

    @property
    def others(self) -> tuple[CarDates, ...]:
        return tuple(one for one in self.moves if not one.touches_promise)

    @property
    def others_are_many(self) -> bool:
        return len(self.others) > MOST_OPEN

    @property
    def slipped(self) -> bool:
        """Whether dates in the present order are other than when it was accepted."""
        return any(one.slipped for one in self.moves)

    @cached_property
    def totals(self) -> tuple[PlanTotals, PlanTotals] | None:
        """The present order with the dates of now, and the plan beside it."""
        if self.comparison is None or self.plan is None:
            return None
        row, year = self.settings, self.settings.day_at(self.now).year
        off = days_off(row.holiday_country, row.holiday_subdivision, year, year + YEARS_AHEAD)
        calendar = calendar_of("shop", row.hours, off)
        before, after = self.comparison.before, self.comparison.after
        return PlanTotals.of(before, calendar), PlanTotals.of(after, calendar)

    @cached_property
    def car_list(self) -> CarList:
        return CarList(self.cars)

    @property
    def faults(self) -> tuple[FaultLine, ...]:
        return fault_lines(self.plan.faults) if self.plan else ()

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

    @property
    def is_overtaken(self) -> bool:
        """Whether there is a better one than the one that is looked at."""
        return self.plan is not None and self.seen is not None and self.plan.pk != self.seen


def seconds_of(search: PlanSearch | None, now: dt.datetime) -> int:
    """For how many seconds a search has gone on."""
    return max(0, int((now - search.begun_at).total_seconds())) if search and search.begun_at else 0
