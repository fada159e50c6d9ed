"""What one revision has that another has not: a pure comparison, and putting it back onto the older one.

Generic over the fields of the data, so that a field which comes to the file later is compared without being
named here. Operations and checkpoints are known again by their codes.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Any, Protocol, TypeVar, cast

from jobs.procedures.file.data import CheckpointData, OperationData, ProcedureData
from shop.differing import ChangeKind, moved

# The fields that hold things with codes of their own; they are compared one by one.
OPERATIONS, CHECKPOINTS = "operations", "checkpoints"
# What a procedure says of itself; what it says beside that is about the structure as a whole.
ABOUT_ITSELF = frozenset({"code", "name", "revision", "kit", "vehicle_family", "note", "handover"})


class _Coded(Protocol):
    @property
    def code(self) -> str: ...


T = TypeVar("T", bound=_Coded)


@dataclass(frozen=True)
class FieldChange:
    """One field that says something else; None where the whole thing was not there."""

    key: str
    old: Any
    new: Any


@dataclass(frozen=True)
class ItemChange:
    """An operation or a checkpoint that was added, removed, moved or changed; `inside` its checkpoints.

    `order` holds the codes of all that is inside of the newer one, in its order.
    """

    code: str
    old: OperationData | CheckpointData | None
    new: OperationData | CheckpointData | None
    fields: tuple[FieldChange, ...] = ()
    inside: tuple["ItemChange", ...] = ()
    order: tuple[str, ...] = ()
    is_moved: bool = False

    @property
    def kind(self) -> ChangeKind:
        if self.old is None:
            return ChangeKind.ADDED
        if self.new is None:
            return ChangeKind.REMOVED
        return ChangeKind.CHANGED if self.fields or self.inside else ChangeKind.MOVED

    @property
    def title(self) -> str:
        item = self.new or self.old
        return item.title if item else ""


@dataclass(frozen=True)
class Differences:
    """Everything by which a newer revision differs from an older one."""

    fields: tuple[FieldChange, ...]
    operations: tuple[ItemChange, ...]
    order: tuple[str, ...]

    @property
    def is_empty(self) -> bool:
        return not self.fields and not self.operations

    def of(self, code: str) -> ItemChange | None:
        return next((change for change in self.operations if change.code == code), None)


def differences(old: ProcedureData, new: ProcedureData) -> Differences:
    """What became different from `old` to `new`. A revision compared with itself gives nothing."""
    return Differences(
        _field_changes(old, new, without=OPERATIONS),
        _item_changes(old.operations, new.operations),
        tuple(operation.code for operation in new.operations),
    )


def applied(found: Differences, old: ProcedureData) -> ProcedureData:
    """The newer revision, made out of the older one and the differences."""
    operations = _items_applied(found.operations, found.order, old.operations)
    return replace(old, **_values(found.fields), operations=operations)


def _field_changes(old: Any, new: Any, *, without: str) -> tuple[FieldChange, ...]:
    names = [f.name for f in fields(new) if f.compare and f.name != without]
    pairs = ((name, getattr(old, name), getattr(new, name)) for name in names)
    return tuple(FieldChange(name, before, now) for name, before, now in pairs if before != now)


def _item_changes(old: Sequence[T], new: Sequence[T]) -> tuple[ItemChange, ...]:
    """In the order of the newer one; what was removed stands behind what it stood behind."""
    before = {item.code: item for item in old}
    now = {item.code: item for item in new}
    moves = moved([item.code for item in old], [item.code for item in new])
    found = (_item_change(before.get(c), now.get(c), is_moved=c in moves) for c in _merged(old, new))
    return tuple(change for change in found if change is not None)


def _item_change(old: Any, new: Any, *, is_moved: bool) -> ItemChange | None:
    item = new or old
    if old is None or new is None:
        return ItemChange(item.code, old, new)
    here = _field_changes(old, new, without=CHECKPOINTS)
    inner = getattr(new, CHECKPOINTS, ())
    inside = _item_changes(getattr(old, CHECKPOINTS, ()), inner)
    if not (here or inside or is_moved):
        return None
    return ItemChange(item.code, old, new, here, inside, tuple(c.code for c in inner), is_moved)


def _merged(old: Sequence[T], new: Sequence[T]) -> list[str]:
    """The codes of both: the newer order, with what is gone where it was."""
    codes = [item.code for item in new]
    last = ""
    for item in old:
        if item.code not in codes:
            codes.insert(codes.index(last) + 1 if last else 0, item.code)
        last = item.code
    return codes


def _values(changes: Sequence[FieldChange]) -> dict[str, Any]:
    return {change.key: change.new for change in changes}


def _items_applied(changes: Sequence[ItemChange], order: Sequence[str], old: Sequence[T]) -> tuple[T, ...]:
    items: dict[str, Any] = {item.code: item for item in old}
    for change in changes:
        if change.old is None:
            items[change.code] = change.new
        elif change.new is not None:
            items[change.code] = _item_applied(change, items[change.code])
    return tuple(cast("T", items[code]) for code in order)


def _item_applied(change: ItemChange, old: Any) -> Any:
    values = _values(change.fields)
    if hasattr(old, CHECKPOINTS):
        values[CHECKPOINTS] = (
            _items_applied(change.inside, change.order, old.checkpoints) if change.order else ()
        )
    return replace(old, **values)
