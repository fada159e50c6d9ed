"""The plan page: what is in force, over the days of a week or a month, drawn and as tables."""

import datetime as dt
from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from zoneinfo import ZoneInfo

from jobs.desk.plan_cars import LONGEST_SEARCH, CarList
from jobs.desk.plan_faults import FaultLine, fault_lines
from jobs.desk.plan_lines import CarLine, StayLine, gaps_of
from jobs.desk.plan_picture import Picture
from jobs.desk.plan_proposal_page import seconds_of
from jobs.models import PlannedOperation, PlannedStay, PlanSearch, Stage, StoredPlan
from jobs.planning.forecast.scoring import Score
from jobs.plans.history import score
from jobs.plans.hours import Clock, calendar_of, days_off
from jobs.plans.timeline import Drawing
from jobs.plans.why import working_minutes
from shop.actions import TURN_ROLES
from shop.models import Bay, Person, ShopSettings
from shop.working_time import DAYS, Hours, first_day_ahead

SPANS = {"week": 7, "month": 35}
# A car that is not worked on for less than this has only a break between two people.
STANDING_MINUTES = 60


@dataclass(frozen=True)
class Window:
    """The working days that are shown."""

    view: str
    first: dt.date
    days: tuple[dt.date, ...]

    @classmethod
    def of(cls, view: str, first: dt.date, *, hours: Hours, off: Collection[dt.date] = ()) -> "Window":
        view = view if view in SPANS else "week"
        every = (first + dt.timedelta(days=n) for n in range(SPANS[view]))
        open_days = (day for day in every if hours.get(DAYS[day.weekday()]) and day not in off)
        return cls(view, first, tuple(open_days))

    @property
    def length(self) -> dt.timedelta:
        return dt.timedelta(days=SPANS[self.view])

    @property
    def before(self) -> dt.date:
        return self.first - self.length

    @property
    def after(self) -> dt.date:
        return self.first + self.length


@dataclass(frozen=True)
class PlanPage:
    """The plan in force. All of it in a number of queries that hangs on nothing."""

    plan: StoredPlan | None
    beside: StoredPlan | None
    search: PlanSearch | None
    window: Window
    settings: ShopSettings
    now: dt.datetime
    cars: tuple[CarLine, ...] = ()
    stays: tuple[PlannedStay, ...] = ()
    work: tuple[PlannedOperation, ...] = ()
    bays: tuple[Bay, ...] = ()
    people: tuple[Person, ...] = ()
    score: Score | None = None
    asked: str = ""
    has_closed: bool = False

    @classmethod
    def load(
        cls, *, now: dt.datetime, view: str = "week", first: dt.date | None = None, asked: str = ""
    ) -> "PlanPage":
        settings = ShopSettings.current()
        today = settings.day_at(now)
        ahead = first_day_ahead(now, hours=settings.hours, zone=ZoneInfo(settings.zone))
        has_closed, first = first is None and ahead != today, first or ahead
        off = days_off(settings.holiday_country, settings.holiday_subdivision, first.year, first.year + 1)
        window = Window.of(view, first, hours=settings.hours, off=off)
        plan = StoredPlan.objects.in_force().select_related("decided_by", "accepted__decided_by").first()
        plan = plan or StoredPlan.objects.beside().first()
        beside = StoredPlan.objects.beside().exclude(pk=plan.pk).first() if plan else None
        words = asked[:LONGEST_SEARCH]
        found = cls(
            plan,
            beside,
            PlanSearch.objects.first(),
            window,
            settings,
            now,
            asked=words,
            has_closed=has_closed,
        )
        return found._filled() if plan else found

    def _filled(self) -> "PlanPage":
        plan, clock = self.plan, self.clock
        assert plan is not None
        begins, ends = (
            clock.moment(dt.datetime.combine(day, dt.time()))
            for day in (self.window.first, self.window.after)
        )
        shown = {"starts_at__lt": ends, "ends_at__gt": begins}
        cars = plan.cars.filter(job__released_at=None).select_related("job__vehicle", "job__customer")
        work = plan.operations.filter(**shown).select_related(
            "job_operation__operation", "job_operation__job__vehicle", "person", "bay"
        )
        return replace(
            self,
            cars=tuple(CarLine(row, clock) for row in cars),
            stays=tuple(
                plan.stays.filter(**shown).select_related("job__vehicle", "bay").order_by("bay", "starts_at")
            ),
            work=tuple(work),
            bays=tuple(Bay.objects.filter(is_open=True).prefetch_related("closures").order_by("number")),
            people=tuple(
                Person.objects.filter(is_active=True, role__in=TURN_ROLES).prefetch_related("absences")
            ),
            score=score(),
        )

    @cached_property
    def clock(self) -> Clock:
        return Clock(ZoneInfo(self.settings.zone))

    @property
    def today(self) -> dt.date:
        return self.settings.day_at(self.now)

    @property
    def searched_seconds(self) -> int:
        return seconds_of(self.search, self.now)

    @cached_property
    def car_list(self) -> CarList:
        """The cars by what is to be done about them, as far as they were asked for."""
        return CarList(self.cars, self.asked)

    @property
    def faults(self) -> tuple[FaultLine, ...]:
        return fault_lines(self.plan.faults) if self.plan else ()

    @property
    def accepted(self) -> StoredPlan | None:
        """The plan that the manager accepted: itself, or the one that it carries on."""
        return (self.plan.accepted or self.plan) if self.plan else None

    @cached_property
    def stay_lines(self) -> tuple[StayLine, ...]:
        calendar = calendar_of("shop", self.settings.hours, self._closed_days)
        worked: dict[tuple[int, int | None], list[tuple[dt.datetime, dt.datetime]]] = defaultdict(list)
        for one in self.work:
            span = self.clock.local(one.starts_at), self.clock.local(one.ends_at)
            worked[one.job_operation.job_id, one.bay_id].append(span)
        lines = []
        for stay in self.stays:
            whole = self._inside(stay)
            gaps = [
                gap
                for gap in gaps_of(whole, worked[stay.job_id, stay.bay_id])
                if working_minutes(calendar, *gap) >= STANDING_MINUTES
            ]
            minutes = sum(working_minutes(calendar, *gap) for gap in gaps)
            lines.append(StayLine(stay, tuple(gaps), round(minutes / 60)))
        return tuple(lines)

    @property
    def _closed_days(self) -> set[dt.date]:
        """The days of the window on which nobody works."""
        every = (self.window.first + dt.timedelta(days=n) for n in range(SPANS[self.window.view]))
        return set(every) - set(self.window.days)

    def _inside(self, stay: PlannedStay) -> tuple[dt.datetime, dt.datetime]:
        """The stay as far as its work was loaded."""
        first = dt.datetime.combine(self.window.first, dt.time())
        last = dt.datetime.combine(self.window.after, dt.time())
        return max(first, self.clock.local(stay.starts_at)), min(last, self.clock.local(stay.ends_at))

    def work_of(self, person: Person) -> tuple[PlannedOperation, ...]:
        return tuple(one for one in self.work if one.person_id == person.pk)

    @property
    def by_person(self) -> tuple[tuple[Person, tuple[PlannedOperation, ...]], ...]:
        return tuple((person, self.work_of(person)) for person in self.people)

    @property
    def drawing(self) -> Drawing:
        return Picture(self).whole

    @property
    def sheets(self) -> list[Drawing]:
        """The drawing on as many sheets of paper as it needs."""
        return Picture(self).sheets


def stage_words() -> Mapping[str, str]:
    """The stages that are hatched, in words, for the key."""
    return {str(stage): str(stage.label) for stage in Stage if stage not in {Stage.INTAKE, Stage.RELEASE}}
