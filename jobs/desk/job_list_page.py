"""All jobs: found, filtered, sorted as the address says."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.core.paginator import Page, Paginator
from django.db.models import F
from django.db.models.expressions import Combinable

from jobs.desk.glances import Glance, glances_of
from jobs.models import Job
from jobs.models.jobs import JobQuerySet

PER_PAGE = 50
SHOWN = ("open", "released", "all")
SORTS: Mapping[str, tuple[str, ...]] = {
    "number": ("number",),
    "car": ("vehicle__description", "vehicle__model_year"),
    "customer": ("customer__name",),
    "bay": ("bay__number",),
    "place": ("hand_position",),
    "promised": ("promised_on",),
}


@dataclass(frozen=True)
class JobLine:
    """A job with where it is and what it waits for; nothing of that once it is released."""

    job: Job
    glance: Glance | None


@dataclass(frozen=True)
class JobList:
    """One page of the list with what was asked for."""

    q: str
    show: str
    order: str
    page: "Page[Job]"
    now: dt.datetime

    @classmethod
    def load(cls, asked: Mapping[str, str], *, now: dt.datetime) -> "JobList":
        """What the address asks for; words in it that mean nothing are left out."""
        q, show, order = asked.get("q", "").strip()[:100], asked.get("show", ""), asked.get("sort", "")
        show = show if show in SHOWN else "open"
        order = order if order.removeprefix("-") in SORTS else "number"
        jobs = {
            "open": Job.objects.on_the_floor(),
            "released": Job.objects.released(),
            "all": Job.objects.all(),
        }[show]
        return cls(q, show, order, _page(jobs.found_by(q), order, asked.get("page")), now)

    @cached_property
    def lines(self) -> tuple[JobLine, ...]:
        jobs = list(self.page)
        glances = glances_of(jobs, now=self.now)
        return tuple(JobLine(job, glances.get(job.pk)) for job in jobs)

    @property
    def answer(self) -> JobLine | None:
        """The one car that was looked for, once the words leave only one."""
        return self.lines[0] if self.q and len(self.lines) == 1 and self.page.number == 1 else None

    @property
    def is_narrowed(self) -> bool:
        return bool(self.q) or self.show != "open"


def _page(found: JobQuerySet, order: str, number: str | None) -> "Page[Job]":
    """One page of them in that order; what is in hand is worked out for its cars alone."""
    sorted_by = found.with_place() if order.removeprefix("-") == "place" else found
    keys = sorted_by.order_by(*_sorted_by(order)).values_list("pk", flat=True)
    page: Page[Any] = Paginator(keys, PER_PAGE).get_page(number)
    shown = list(page)
    rows = Job.objects.filter(pk__in=shown).with_car().with_place().in_bulk()
    page.object_list = [rows[key] for key in shown]
    return page


def _sorted_by(order: str) -> list[Combinable]:
    """Rows without the value come last, whichever way it is sorted; equal ones by number."""
    fields = [F(name) for name in SORTS[order.removeprefix("-")]]
    down = order.startswith("-")
    return [*(f.desc(nulls_last=True) if down else f.asc(nulls_last=True) for f in fields), F("number")]
