"""What one list of a kit has that another has not, line by line, in words. Lines are known by part number."""

from dataclasses import dataclass, replace

from django.utils.translation import gettext as _

from parts.kit_sheet import KitSheet, KitSheetLine
from parts.models import KitLine
from shop.differing import KIND_WORDS, ChangeKind, FieldWords

FIELDS = (
    *("description", "quantity", "side", "operation", "is_critical", "substitutes"),
    *("thread", "grade", "length", "finish", "unit_cost"),
)


@dataclass(frozen=True)
class LineChange:
    """A line that was added, removed or changed; `operations` are those whose work it changes."""

    old: KitSheetLine | None
    new: KitSheetLine | None
    fields: tuple[FieldWords, ...]
    inside = ()

    @property
    def code(self) -> str:
        return self._line.part_number

    @property
    def title(self) -> str:
        return self._line.description

    @property
    def kind(self) -> ChangeKind:
        if self.old is None:
            return ChangeKind.ADDED
        return ChangeKind.REMOVED if self.new is None else ChangeKind.CHANGED

    @property
    def kind_words(self) -> str:
        return str(KIND_WORDS[self.kind])

    @property
    def operations(self) -> frozenset[str]:
        if self.is_price_alone:
            return frozenset()
        return frozenset(line.operation for line in (self.old, self.new) if line)

    @property
    def is_price_alone(self) -> bool:
        """Whether the part is the same and only its cost is another: that changes no car."""
        if self.old is None or self.new is None:
            return False
        return replace(self.old, unit_cost=self.new.unit_cost) == self.new

    @property
    def _line(self) -> KitSheetLine:
        line = self.new or self.old
        assert line is not None
        return line


@dataclass(frozen=True)
class KitDifferences:
    """Everything by which a newer list differs from an older one."""

    operations: tuple[LineChange, ...]
    fields = ()

    @property
    def is_empty(self) -> bool:
        return not self.operations

    @property
    def touched(self) -> frozenset[str]:
        """The operations that need parts which are not the same in both."""
        return frozenset().union(*(change.operations for change in self.operations))


def kit_differences(old: KitSheet, new: KitSheet) -> KitDifferences:
    """What became different from `old` to `new`, in the order of the newer one; what is gone, last."""
    before = {line.part_number: line for line in old.lines}
    now = {line.part_number: line for line in new.lines}
    found = [_change(before.get(line.part_number), line) for line in new.lines]
    found += [_change(line, None) for line in old.lines if line.part_number not in now]
    return KitDifferences(tuple(change for change in found if change is not None))


def _change(old: KitSheetLine | None, new: KitSheetLine | None) -> LineChange | None:
    if old is not None and new is not None and old == new:
        return None
    names = [name for name in FIELDS if _said(old, name) != _said(new, name)]
    return LineChange(old, new, tuple(_words(name, old, new) for name in names))


def line_label(name: str) -> str:
    """What a field of a line is called."""
    field = KitLine._meta.get_field(name)
    return str(getattr(field, "verbose_name", name))


def _words(name: str, old: KitSheetLine | None, new: KitSheetLine | None) -> FieldWords:
    label = line_label(name)
    verdict = ""
    if name == "quantity" and old is not None and new is not None:
        verdict = _("more") if new.quantity > old.quantity else _("fewer")
    return FieldWords(label, _said(old, name), _said(new, name), verdict)


def _said(line: KitSheetLine | None, name: str) -> str:
    if line is None:
        return ""
    value = getattr(line, name)
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if value is None:
        return ""
    return ", ".join(value) if isinstance(value, tuple) else str(value)
