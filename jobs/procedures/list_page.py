"""The list of procedures: which revision is in force, which wait as drafts, how many cars are built to it."""

from dataclasses import dataclass

from jobs.models import Procedure, ProcedureRevision
from shop.revisions import RevisionState

SORTS = ("code", "name", "kit_code", "vehicle_family", "cars")


@dataclass(frozen=True)
class ProcedureLine:
    """One procedure of the list."""

    procedure: Procedure
    revisions: tuple[ProcedureRevision, ...]
    cars: int

    @property
    def released(self) -> ProcedureRevision | None:
        return next((r for r in self.revisions if r.state == RevisionState.RELEASED), None)

    @property
    def drafts(self) -> tuple[ProcedureRevision, ...]:
        return tuple(r for r in self.revisions if r.state == RevisionState.DRAFT)

    @property
    def superseded(self) -> tuple[ProcedureRevision, ...]:
        return tuple(r for r in self.revisions if r.state == RevisionState.SUPERSEDED)

    @property
    def newest(self) -> ProcedureRevision | None:
        return self.released or next(iter((*self.drafts, *self.superseded)), None)


@dataclass(frozen=True)
class ProcedureListPage:
    lines: tuple[ProcedureLine, ...]
    words: str
    sort: str
    is_empty: bool


def procedure_list_page(*, words: str, sort: str) -> ProcedureListPage:
    """The procedures found by `words`, sorted by one of SORTS, backwards after a minus."""
    key = sort if sort.removeprefix("-") in SORTS else "code"
    found = Procedure.objects.for_procedure_list().found_by(words).order_by(key, "code")
    lines = tuple(ProcedureLine(p, tuple(p.revisions.all()), getattr(p, "cars", 0)) for p in found)
    return ProcedureListPage(lines, words, key, not lines and not Procedure.objects.exists())
