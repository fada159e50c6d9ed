"""What the pages of a draft show: its parts with what is wrong in each, one part with its fields."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _

from jobs.models import CheckpointKind, DraftVersion, ProcedureDraft
from jobs.procedures.draft_fields import PartForm, checkpoint_keys, head_keys, operation_keys
from jobs.procedures.draft_tree import (
    CHECKPOINTS,
    OPERATIONS,
    WHOLE,
    Placed,
    Spot,
    Tree,
    faults_by_part,
    items_of,
    spot_of,
    tree_of,
)
from jobs.procedures.drafting import DraftState, state_of
from shop.file_errors import FileError

HEAD = "head"
LATEST = 12
KINDS = CheckpointKind.choices


@dataclass(frozen=True)
class PartLine:
    """An operation or a checkpoint in the list of a draft."""

    code: str
    title: str
    about: str
    faults: int
    inside: tuple["PartLine", ...] = ()


@dataclass(frozen=True)
class DraftPage:
    """A draft as a whole."""

    state: DraftState
    lines: tuple[PartLine, ...]
    faults: Mapping[str, Placed]
    versions: tuple[DraftVersion, ...]
    said: str = ""

    @property
    def draft(self) -> ProcedureDraft:
        return self.state.draft

    @property
    def seen(self) -> int:
        return self.state.version.number

    @property
    def whole(self) -> list[str]:
        """What is wrong with no operation of its own."""
        placed = self.faults.get(WHOLE, Placed())
        return [*placed.own, *(f"{key}: {m}" for key, found in placed.by_key.items() for m in found)]

    @property
    def fault_count(self) -> int:
        return len(self.state.errors)


def open_draft(code: str, revision: str) -> ProcedureDraft:
    drafts = ProcedureDraft.objects.select_related("procedure", "begun_from__procedure")
    return get_object_or_404(drafts, procedure__code=code, revision=revision, closed_at=None)


def draft_page(draft: ProcedureDraft, *, said: str = "") -> DraftPage:
    """The list of a draft's operations with the faults of each."""
    state = state_of(draft)
    faults = faults_by_part(state.text, state.errors)
    lines = tuple(_line(o, faults) for o in items_of(tree_of(state.text), OPERATIONS))
    newest_first = draft.versions.select_related("person").order_by("-number")[:LATEST]
    return DraftPage(state, lines, faults, tuple(newest_first), said)


def _line(part: Tree, faults: Mapping[str, Placed]) -> PartLine:
    code = str(part.get("code") or "")
    inside = tuple(_line(each, faults) for each in items_of(part, CHECKPOINTS))
    about = str(part.get("kind") or part.get("stage") or "")
    limit = part.get("limit")
    shown = f"{about}, {limit}" if isinstance(limit, str) and limit else about
    return PartLine(code, str(part.get("title") or _("no title yet")), shown, _count(code, faults), inside)


def _count(code: str, faults: Mapping[str, Placed]) -> int:
    return faults[code].count if code in faults else 0


@dataclass(frozen=True)
class DraftPartPage:
    """One part of a draft with its fields."""

    state: DraftState
    code: str
    spot: Spot | None
    form: PartForm
    overtaken: DraftVersion | None = None

    @property
    def draft(self) -> ProcedureDraft:
        return self.state.draft

    @property
    def seen(self) -> int:
        return self.state.version.number

    @property
    def is_head(self) -> bool:
        return self.code == HEAD

    @property
    def is_operation(self) -> bool:
        return self.spot is not None and not self.spot.is_checkpoint

    @property
    def inside(self) -> str:
        """The operation of a checkpoint."""
        return str(self.spot.inside.get("code", "")) if self.spot and self.spot.inside else ""

    @property
    def checkpoints(self) -> tuple[PartLine, ...]:
        if self.spot is None or not self.is_operation:
            return ()
        faults = faults_by_part(self.state.text, self.state.errors)
        return tuple(_line(each, faults) for each in items_of(self.spot.part, CHECKPOINTS))

    @property
    def errors(self) -> list[tuple[str, str]]:
        """For the summary on top."""
        beside = [(field.id_for_label, m) for field, found in self.form.rows() for m in found]
        return [*beside, *(("", m) for m in self.form.elsewhere)]


def part_page(
    draft: ProcedureDraft,
    code: str,
    *,
    data: Mapping[str, Any] | None = None,
    overtaken: DraftVersion | None = None,
) -> DraftPartPage | None:
    """One operation, checkpoint or the head; None where the draft has none of that code."""
    state = state_of(draft)
    tree = tree_of(state.text)
    faults = faults_by_part(state.text, state.errors)
    if code == HEAD:
        head = tree.get("procedure") if isinstance(tree.get("procedure"), dict) else {}
        form = PartForm(head or {}, head_keys(), faults=faults.get(WHOLE, Placed()), data=data)
        return DraftPartPage(state, code, None, form, overtaken)
    spot = spot_of(tree, code)
    if spot is None:
        return None
    keys = checkpoint_keys(spot.part) if spot.is_checkpoint else operation_keys()
    form = PartForm(spot.part, keys, faults=faults.get(code, Placed()), data=data)
    return DraftPartPage(state, code, spot, form, overtaken)


def file_error_rows(errors: tuple[FileError, ...]) -> list[tuple[str, str]]:
    return [(f"line-{error.line}" if error.line else "", str(error)) for error in errors]
