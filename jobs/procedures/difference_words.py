"""What changed between two revisions, in the trade's words: limits old to new, lists line by line."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from jobs.judging.limits import parsed
from jobs.models.procedures import Checkpoint, Operation, Procedure, ProcedureRevision
from jobs.procedures.differences import Differences, FieldChange, ItemChange
from jobs.procedures.draft_shapes import HANDOVER, HOLES, LAYOUT, OPERATION, Shape, Tree
from jobs.procedures.field_words import field_label, value_lines
from jobs.procedures.file.data import OperationData
from jobs.procedures.file.handover import as_kept
from jobs.procedures.file.holes import hole_as_kept
from jobs.procedures.limit_change import WORDS, limit_change
from jobs.procedures.table_words import row_words, rows_by_name, table_words
from shop.differing import KIND_WORDS, ChangeKind, FieldWords, TextLine, text_lines
from shop.engineering.quantities import QuantityError
from shop.models import ShopSettings

# Fields that hold rows, with the shape of their table and how it is written.
TABLES: Mapping[str, tuple[Shape, Callable[[Any], Tree]]] = {
    "layout": (LAYOUT, dict),
    "handover": (HANDOVER, as_kept),
    "holes": (OPERATION, lambda holes: {"holes": [hole_as_kept(hole) for hole in holes]}),
}
LIMIT_KEYS = frozenset({"limit", "equal", "angle", "agree"})


@dataclass(frozen=True)
class ItemWords:
    """An operation or a checkpoint with what became of it."""

    change: ItemChange
    fields: tuple[FieldWords, ...]
    inside: tuple["ItemWords", ...] = ()

    @property
    def code(self) -> str:
        return self.change.code

    @property
    def title(self) -> str:
        return self.change.title

    @property
    def kind(self) -> str:
        return self.change.kind.value

    @property
    def kind_words(self) -> str:
        words = str(KIND_WORDS[self.change.kind])
        if self.change.is_moved and self.change.kind is ChangeKind.CHANGED:
            return _("%(words)s and moved") % {"words": words}
        return words


@dataclass(frozen=True)
class DifferenceWords:
    """All of it."""

    fields: tuple[FieldWords, ...]
    operations: tuple[ItemWords, ...]

    @property
    def is_empty(self) -> bool:
        return not self.fields and not self.operations

    def of(self, code: str) -> ItemWords | None:
        return next((item for item in self.operations if item.code == code), None)


def difference_words(found: Differences, *, settings: ShopSettings) -> DifferenceWords:
    """The differences of two revisions in words; the revision's own name is no difference."""
    head = [change for change in found.fields if change.key != "revision"]
    return DifferenceWords(
        tuple(words for change in head for words in _fields(change, settings, ProcedureRevision, Procedure)),
        tuple(_item(change, settings) for change in found.operations),
    )


def _item(change: ItemChange, settings: ShopSettings) -> ItemWords:
    rows = (Operation,) if isinstance(change.new or change.old, OperationData) else (Checkpoint,)
    fields = tuple(words for each in change.fields for words in _fields(each, settings, *rows))
    inside = tuple(_item(each, settings) for each in change.inside)
    if change.kind in {ChangeKind.ADDED, ChangeKind.REMOVED}:
        fields = tuple(_whole(change, settings))
    return ItemWords(change, fields, inside)


def _fields(change: FieldChange, settings: ShopSettings, *rows: Any) -> Iterator[FieldWords]:
    """One field; each row that changed where it is a table that has rows of its own."""
    table = TABLES.get(change.key)
    if table is None or change.old is None or change.new is None:
        yield _field(change, settings, *rows)
        return
    shape, tree_of = table
    yield from table_words(shape, tree_of(change.old), tree_of(change.new))


def _field(change: FieldChange, settings: ShopSettings, *rows: Any) -> FieldWords:
    label = field_label(change.key, *rows)
    old, new = value_lines(change.key, change.old), value_lines(change.key, change.new)
    if change.key in LIMIT_KEYS:
        return FieldWords(label, " ".join(old), " ".join(new), _verdict(change, settings))
    if max(len(old), len(new)) > 1 or isinstance(change.new, list | tuple | dict):
        return FieldWords(label, lines=tuple(text_lines(old, new)))
    return FieldWords(label, " ".join(old), " ".join(new))


def _verdict(change: FieldChange, settings: ShopSettings) -> str:
    """Whether a limit became tighter or looser; nothing where one of the two cannot be read."""
    try:
        old, new = parsed(str(change.old or ""), settings), parsed(str(change.new or ""), settings)
    except QuantityError:
        return ""
    if old is None or new is None:
        return _("a limit where there was none") if old is None else _("no limit any more")
    return str(WORDS[limit_change(old, new)])


def _whole(change: ItemChange, settings: ShopSettings) -> Iterator[FieldWords]:
    """What was added or removed, in a few lines: limits of a checkpoint, checkpoints of an operation."""
    item: Any = change.new or change.old
    sign = "+" if change.new else "-"
    inside = getattr(item, "checkpoints", ())
    if inside:
        lines = tuple(TextLine(sign, f"{c.code} {c.title} {c.limit}".strip()) for c in inside)
        yield FieldWords(field_label("checkpoints"), lines=lines)
    for name, hole in rows_by_name(
        HOLES, [hole_as_kept(hole) for hole in getattr(item, "holes", ())]
    ).items():
        yield FieldWords(field_label("holes"), lines=(TextLine(sign, f"{name}: {row_words(HOLES, hole)}"),))
    for key in ("kind", "limit", "equal", "angle", "joint", "go", "shows", "criteria"):
        value = getattr(item, key, None)
        text = "; ".join(value_lines(key, value)) if value else ""
        if text:
            label = field_label(key, Checkpoint)
            yield FieldWords(label, new=text) if change.new else FieldWords(label, old=text)
