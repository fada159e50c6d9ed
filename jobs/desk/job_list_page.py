"""All jobs: found, filtered, sorted as the address says."""

from collections.abc import Mapping
from dataclasses import dataclass

from django.core.paginator import Page, Paginator
from django.db.models import F
from django.db.models.expressions import Combinable

from jobs.models import Job

PER_PAGE = 50
SHOWN = ("open", "released", "all")
SORTS: Mapping[str, tuple[str, ...]] = {
    "number": ("number",),
    "car": ("vehicle__description", "vehicle__model_year"),
    "customer": ("customer__name",),
    "bay": ("bay__number",),
    "place": ("hand_position",),
    "promised": ("promised_on",),
    "opened": ("opened_at",),
}


@dataclass(frozen=True)
class JobList:
    """One page of the list with what was asked for."""

    q: str
    show: str
    order: str
    page: "Page[Job]"

    @classmethod
    def load(cls, asked: Mapping[str, str]) -> "JobList":
        """What the address asks for; words in it that mean nothing are left out."""
        q, show, order = asked.get("q", "").strip()[:100], asked.get("show", ""), asked.get("sort", "")
        show = show if show in SHOWN else "open"
        order = order if order.removeprefix("-") in SORTS else "number"
        jobs = {
            "open": Job.objects.on_the_floor(),
            "released": Job.objects.released(),
            "all": Job.objects.all(),
        }[show]
        found = jobs.found_by(q).with_car().with_place().order_by(*_sorted_by(order))
        return cls(q, show, order, Paginator(found, PER_PAGE).get_page(asked.get("page")))

    @property
    def is_narrowed(self) -> bool:
        return bool(self.q) or self.show != "open"


def _sorted_by(order: str) -> list[Combinable]:
    """Rows without the value come last, whichever way it is sorted; equal ones by number."""
    fields = [F(name) for name in SORTS[order.removeprefix("-")]]
    down = order.startswith("-")
    return [*(f.desc(nulls_last=True) if down else f.asc(nulls_last=True) for f in fields), F("number")]
