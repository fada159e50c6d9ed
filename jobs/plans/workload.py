"""How much work of each skill and how many days of each bay the plan has, against what there is, by week."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from jobs.planning import problem as planning
from jobs.plans.crew import ANY_WORK, bay_name, bays_of, calendars_of, people_of, skill_word
from jobs.plans.route import Route
from jobs.plans.shop_state import ShopState
from jobs.plans.why import working_minutes
from shop.models import Skill

WEEKS = 6


@dataclass(frozen=True)
class Load:
    """Planned hours in one week against the hours that there are."""

    week: dt.date
    planned: float
    capacity: float

    @property
    def percent(self) -> int:
        return round(100 * self.planned / self.capacity) if self.capacity else (100 if self.planned else 0)

    @property
    def is_over(self) -> bool:
        return self.planned > self.capacity

    @property
    def is_tight(self) -> bool:
        return self.percent >= 90


@dataclass(frozen=True)
class LoadRow:
    name: str
    loads: tuple[Load, ...]


@dataclass(frozen=True)
class Workload:
    """Skills and bays for six weeks from this one."""

    weeks: tuple[dt.date, ...]
    skills: tuple[LoadRow, ...]
    bays: tuple[LoadRow, ...]
    has_plan: bool = True

    @classmethod
    def of(cls, state: ShopState) -> "Workload":
        monday = state.today - dt.timedelta(days=state.today.weekday())
        weeks = tuple(monday + dt.timedelta(weeks=n) for n in range(WEEKS))
        return cls(weeks, tuple(_skills(state, weeks)), tuple(_bays(state, weeks)), state.plan is not None)


def _window(week: dt.date, now: dt.datetime) -> tuple[dt.datetime, dt.datetime]:
    """What is left of a week."""
    begins = dt.datetime.combine(week, dt.time())
    return max(begins, now), begins + dt.timedelta(weeks=1)


def _skills(state: ShopState, weeks: tuple[dt.date, ...]) -> Iterable[LoadRow]:
    now = state.clock.local(state.now)
    calendars = {calendar.id: calendar for calendar in calendars_of(state)}
    planned: dict[tuple[str, dt.date], float] = defaultdict(float)
    for row in state.planned:
        day = max(state.clock.local(row.starts_at), now).date()
        planned[row.skill, day - dt.timedelta(days=day.weekday())] += row.minutes / 60
    people = people_of(state)
    for skill in (*(skill_word(s) for s in Skill.values), ANY_WORK):
        able = [person for person in people if person.ever_may(skill)]
        loads = tuple(
            Load(
                week,
                round(planned[skill, week], 1),
                round(sum(_there(p, calendars[p.calendar], skill, _window(week, now)) for p in able) / 60, 1),
            )
            for week in weeks
        )
        if any(load.planned or load.capacity for load in loads):
            yield LoadRow(skill, loads)


def _there(
    person: planning.Person,
    calendar: planning.Calendar,
    skill: str,
    window: tuple[dt.datetime, dt.datetime],
) -> int:
    """Working minutes of somebody with a skill in a window, absences and lapsed certificates taken out."""
    begins, ends = window
    minutes, day = 0, begins.date()
    while day < ends.date():
        first = max(begins, dt.datetime.combine(day, dt.time()))
        last = dt.datetime.combine(day + dt.timedelta(days=1), dt.time())
        span = planning.Span(first, last)
        if person.may(skill, day, day) and not any(span.overlaps(away) for away in person.absences):
            minutes += working_minutes(calendar, first, last)
        day += dt.timedelta(days=1)
    return minutes


def _bays(state: ShopState, weeks: tuple[dt.date, ...]) -> Iterable[LoadRow]:
    now = state.clock.local(state.now)
    calendar = calendars_of(state)[0]
    stays = list(state.plan.stays.all()) if state.plan else []
    held = [record.job for record in state.records if Route(record).holds_its_bay]
    rows = {bay_name(bay): bay for bay in state.bays}
    for bay in bays_of(state, held):
        mine = [stay for stay in stays if stay.bay_id == rows[bay.id].pk]
        loads = []
        for week in weeks:
            begins, ends = _window(week, now)
            taken = sum(
                working_minutes(
                    calendar,
                    max(begins, state.clock.local(stay.starts_at)),
                    min(ends, state.clock.local(stay.ends_at)),
                )
                for stay in mine
            )
            down = sum(
                working_minutes(calendar, max(begins, span.starts), min(ends, span.ends)) for span in bay.down
            )
            there = working_minutes(calendar, begins, ends) - down
            loads.append(Load(week, round(taken / 60, 1), round(there / 60, 1)))
        yield LoadRow(str(rows[bay.id]), tuple(loads))
