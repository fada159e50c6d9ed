"""Two revisions of a procedure beside each other: what was added, removed, moved, changed."""

from collections.abc import Sequence
from dataclasses import dataclass

from jobs.models import Procedure, ProcedureRevision
from jobs.procedures.difference_words import DifferenceWords, difference_words
from jobs.procedures.differences import differences
from jobs.procedures.file.rows import data_of
from shop.models import ShopSettings
from shop.revisions import RevisionState


@dataclass(frozen=True)
class ComparePage:
    """The comparison of `old` with `new`; both None where the procedure has no two revisions."""

    procedure: Procedure
    revisions: tuple[ProcedureRevision, ...]
    old: ProcedureRevision | None
    new: ProcedureRevision | None
    words: DifferenceWords | None

    @property
    def is_same_revision(self) -> bool:
        return self.old == self.new


def compare_page(procedure: Procedure, *, old: str, new: str) -> ComparePage:
    """What the newer of two revisions changes; by default the one in force against the one before it."""
    revisions = tuple(procedure.revisions.filter(for_job=None).select_related("procedure").order_by("pk"))
    newer = _named(revisions, new) or (revisions[-1] if revisions else None)
    older = _named(revisions, old) or _before(revisions, newer)
    if older is None or newer is None:
        return ComparePage(procedure, revisions, older, newer, None)
    words = difference_words(differences(data_of(older), data_of(newer)), settings=ShopSettings.current())
    return ComparePage(procedure, revisions, older, newer, words)


def _named(revisions: Sequence[ProcedureRevision], name: str) -> ProcedureRevision | None:
    return next((r for r in revisions if r.revision == name), None)


def _before(
    revisions: Sequence[ProcedureRevision], newer: ProcedureRevision | None
) -> ProcedureRevision | None:
    """With what a revision is compared where nothing is said: the one in force, or the last before it."""
    others = [r for r in revisions if newer is not None and r.pk != newer.pk]
    in_force = [r for r in others if r.state == RevisionState.RELEASED]
    earlier = [r for r in others if newer is not None and r.pk < newer.pk]
    return next(iter((*in_force, *reversed(earlier), *others)), None)
