"""Where lots were used: every job and operation, found by lot or by what it was."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Q

from jobs.models import Job, LotUse

MOST = 300


@dataclass(frozen=True)
class LotList:
    """What was found for the words that somebody typed."""

    asked: str
    uses: tuple[LotUse, ...]

    @property
    def is_cut_off(self) -> bool:
        return len(self.uses) >= MOST

    @property
    def cars(self) -> int:
        return len({use.job_operation.job_id for use in self.uses})

    @property
    def by_lot(self) -> tuple[tuple[str, str, tuple[LotUse, ...]], ...]:
        """The uses of each lot of each thing together, as they were first met."""
        found: dict[tuple[str, str], list[LotUse]] = {}
        for use in self.uses:
            found.setdefault((use.lot, use.what), []).append(use)
        return tuple((lot, what, tuple(uses)) for (lot, what), uses in found.items())

    @property
    def handed_over(self) -> int:
        return len({job.pk for job in _jobs(self.uses) if job.is_released})


def find_lots(asked: str) -> LotList:
    """Lots by a piece of their number or of what it was, the newest use first; all while nothing is asked."""
    words = asked.strip()[:80]
    rows = LotUse.objects.select_related("person", "job_operation__operation", "job_operation__job__vehicle")
    if words:
        rows = rows.filter(Q(lot__icontains=words) | Q(what__icontains=words))
    return LotList(words, tuple(rows.order_by("-pk")[:MOST]))


def _jobs(uses: Iterable[LotUse]) -> Iterable[Job]:
    return (use.job_operation.job for use in uses)
