"""Two revisions of a procedure beside each other: what was added, removed, moved, changed."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from jobs.models import Procedure, ProcedureDraft, ProcedureRevision
from jobs.procedures.difference_words import DifferenceWords, difference_words
from jobs.procedures.differences import differences
from jobs.procedures.drafting import readable
from jobs.procedures.file import ProcedureData
from jobs.procedures.file.rows import data_of
from shop.models import ShopSettings
from shop.revisions import RevisionState

DRAFT = "draft "


@dataclass(frozen=True)
class Side:
    """A revision, or a draft that is being written; `name` is how the address names it."""

    name: str
    state: str
    row: ProcedureRevision | ProcedureDraft
    is_in_force: bool = False

    @property
    def data(self) -> ProcedureData:
        return readable(self.row) if isinstance(self.row, ProcedureDraft) else data_of(self.row)


@dataclass(frozen=True)
class ComparePage:
    """The comparison of `old` with `new`; both None where the procedure has no two revisions."""

    procedure: Procedure
    sides: tuple[Side, ...]
    old: Side | None
    new: Side | None
    words: DifferenceWords | None


def compare_page(procedure: Procedure, *, old: str, new: str) -> ComparePage:
    """What the newer of two revisions changes; by default the one in force against the one before it."""
    revisions = procedure.revisions.filter(for_job=None).select_related("procedure").order_by("pk")
    drafts = ProcedureDraft.objects.filter(procedure=procedure, closed_at=None).select_related("procedure")
    kept = [_kept(row) for row in revisions]
    written = [Side(f"{DRAFT}{row.revision}", _("being written"), row) for row in drafts.order_by("pk")]
    sides = (*kept, *written)
    newer = _named(sides, new) or (kept[-1] if kept else None)
    older = _named(sides, old) or _before(kept, newer)
    if older is None or newer is None:
        return ComparePage(procedure, sides, older, newer, None)
    words = difference_words(differences(older.data, newer.data), settings=ShopSettings.current())
    return ComparePage(procedure, sides, older, newer, words)


def _kept(row: ProcedureRevision) -> Side:
    return Side(row.revision, str(row.get_state_display()), row, row.state == RevisionState.RELEASED)


def _named(sides: Sequence[Side], name: str) -> Side | None:
    return next((side for side in sides if side.name == name), None)


def _before(kept: Sequence[Side], newer: Side | None) -> Side | None:
    """With what a revision is compared where nothing is said: the one in force, or the last before it."""
    if newer is None:
        return None
    others = [side for side in kept if side.row != newer.row]
    in_force = [side for side in others if side.is_in_force]
    is_draft = isinstance(newer.row, ProcedureDraft)
    earlier = [side for side in others if is_draft or side.row.pk < newer.row.pk]
    return next(iter((*in_force, *reversed(earlier), *others)), None)
