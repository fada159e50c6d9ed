"""What the drawn plan shows: rows of bays, people and cars, each bar with its words and where it leads to."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from jobs.models import Job, PlannedOperation
from jobs.plans.timeline import Bar, DayAxis, Drawing, Mark, MarkKind, Part, Row, Shape, draw, on_sheets

if TYPE_CHECKING:
    from jobs.desk.plan_lines import CarLine, StayLine
    from jobs.desk.plan_page import PlanPage
    from shop.models import Bay, Person

# What leads nowhere of its own leads to the tables, where it stands too.
TABLES = "#tables"


@dataclass(frozen=True)
class Picture:
    """The page's plan as rows."""

    page: "PlanPage"

    @property
    def whole(self) -> Drawing:
        return self._draw(self._parts, tiled=True)

    @property
    def sheets(self) -> list[Drawing]:
        """On as many sheets of paper as it needs."""
        return [self._draw(parts) for parts in on_sheets(self._parts)]

    @cached_property
    def _parts(self) -> tuple[Part, ...]:
        return (
            Part(_("Bays"), tuple(map(self._bay, self.page.bays)), 44),
            Part(_("People"), tuple(map(self._person, self.page.people)), 34),
            Part(_("Cars"), tuple(self._cars()), 20),
        )

    def _draw(self, parts: Sequence[Part], *, tiled: bool = False) -> Drawing:
        hours = [window for day in self.page.settings.hours.values() for window in day]
        opens = min((_minute(begin) for begin, _end in hours), default=0)
        closes = max((_minute(end) for _begin, end in hours), default=1440)
        axis = DayAxis(self.page.window.days, opens, closes)
        return draw(axis, parts, now=self._local(self.page.now), tiled=tiled)

    def _local(self, at: dt.datetime) -> dt.datetime:
        return self.page.clock.local(at)

    def _bay(self, bay: "Bay") -> Row:
        name = _("bay %(bay)s") % {"bay": bay.number}
        bars = [_closed(c.first_day, c.last_day, c.reason, name) for c in bay.closures.all()]
        for line in self.page.stay_lines:
            if line.row.bay_id == bay.pk:
                bars += self._stay(line, name)
        bars += self._work_in_bay[bay.pk]
        return Row(_short(f"{bay.number} {bay.name}"), tuple(bars))

    def _stay(self, line: "StayLine", bay: str) -> Iterator[Bar]:
        job = line.row.job
        starts, ends = self._local(line.row.starts_at), self._local(line.row.ends_at)
        url = reverse("jobs:job", args=[job.number])
        said = {"car": _car(job), "bay": bay, "span": span_words(starts, ends)}
        yield Bar(
            Shape.STAY, starts, ends, str(job.number), says=_("%(car)s has %(bay)s, %(span)s") % said, url=url
        )
        shown_until = dt.datetime.combine(self.page.window.after, dt.time())
        for begins, stops in line.standing:
            goes_on = stops == shown_until < ends
            said["span"] = (
                _("from %(from)s on") % {"from": _at(begins)} if goes_on else span_words(begins, stops)
            )
            words = _("%(car)s stands in %(bay)s and nothing is done to it, %(span)s") % said
            yield Bar(Shape.STANDING, begins, stops, says=words, url=url)

    def _person(self, person: "Person") -> Row:
        away = [_closed(a.first_day, a.last_day, _("away"), str(person)) for a in person.absences.all()]
        work = [replace(self._work[one.pk], label=_label(one)) for one in self.page.work_of(person)]
        return Row(_short(str(person)), (*away, *work))

    def _cars(self) -> Iterator[Row]:
        window = self.page.window
        for car in self.page.cars:
            promised = car.row.job.promised_on
            if not any(day and window.first <= day < window.after for day in (car.ready_on, promised)):
                continue
            marks = [Mark(MarkKind.READY, self._local(car.row.ready_at))]
            if promised:
                marks.append(Mark(MarkKind.PROMISED, dt.datetime.combine(promised, dt.time(23, 59))))
            name = _short(f"{car.row.job.number} {car.row.job.vehicle.description}")
            url = f"#car-{car.row.job.number}"
            yield Row(name, (), tuple(marks), car.range, says=_dates(car), url=url)

    @cached_property
    def _work(self) -> dict[int, Bar]:
        """The bar of each work by its key; it stands in the row of its bay and in that of its person."""
        return {one.pk: self._work_bar(one) for one in self.page.work}

    @cached_property
    def _work_in_bay(self) -> dict[int | None, list[Bar]]:
        found: dict[int | None, list[Bar]] = defaultdict(list)
        for one in self.page.work:
            found[one.bay_id].append(self._work[one.pk])
        return found

    def _work_bar(self, one: PlannedOperation) -> Bar:
        operation, job = one.job_operation.operation, one.job_operation.job
        starts, ends = self._local(one.starts_at), self._local(one.ends_at)
        words = [f"{_car(job)}, {operation.code} {operation.title}"]
        words += {"look": [_("second person's look")], "watch": [_("fire watch")]}.get(one.part, [])
        words.append(span_words(starts, ends))
        words += [_("bay %(bay)s") % {"bay": one.bay.number}] if one.bay else []
        words += [str(one.person)] if one.person else []
        url = reverse("jobs:job_operation", args=[job.number, operation.code])
        return Bar(Shape.WORK, starts, ends, "", operation.stage, says=", ".join(words), url=url)


def _closed(first: dt.date, last: dt.date, words: str, of: str) -> Bar:
    starts = dt.datetime.combine(first, dt.time())
    ends = dt.datetime.combine(last + dt.timedelta(days=1), dt.time())
    days = (
        _day(first)
        if first == last
        else _("%(first)s to %(last)s") % {"first": _day(first), "last": _day(last)}
    )
    return Bar(Shape.AWAY, starts, ends, words, says=f"{of}: {words}, {days}", url=TABLES)


def span_words(starts: dt.datetime, ends: dt.datetime) -> str:
    """From when to when, the day said once where it is one."""
    until = f"{ends:%H:%M}" if starts.date() == ends.date() else _at(ends)
    return _("%(from)s to %(until)s") % {"from": _at(starts), "until": until}


def _at(moment: dt.datetime) -> str:
    return f"{_day(moment.date())} {moment:%H:%M}"


def _dates(car: "CarLine") -> str:
    """All that its line is marked with."""
    words = [f"{_car(car.row.job)}: {car.words}"]
    if car.forecast:
        words.append(_("as likely as not by %(day)s") % {"day": _day(car.forecast.likely)})
        words.append(_("planned for %(day)s") % {"day": _day(car.ready_on)})
    promised = car.row.job.promised_on
    words += [_("promised for %(day)s") % {"day": _day(promised)}] if promised else []
    return "; ".join(words)


def _car(job: Job) -> str:
    return f"{job.number} {job.vehicle.description}"


def _day(day: dt.date) -> str:
    return _day_in(day, get_language() or "")


@lru_cache(maxsize=512)
def _day_in(day: dt.date, _language: str) -> str:
    """The same few days are named in every bar."""
    return date_format(day, "D j M")


def _minute(text: str) -> int:
    at = dt.time.fromisoformat(text)
    return at.hour * 60 + at.minute


def _label(one: PlannedOperation) -> str:
    return f"{one.job_operation.job.number} {one.job_operation.operation.code}"


def _short(name: str, most: int = 25) -> str:
    return name if len(name) <= most else f"{name[: most - 1]}…"
