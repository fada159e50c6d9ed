"""What changed in a layout, a weld map, holes or the handover: row by row, in the trade's words."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from jobs.judging.layouts import parse_tolerance
from jobs.procedures.draft_shapes import Shape, Tree
from jobs.procedures.field_specs import Spec, usual_spec
from jobs.procedures.field_words import field_label, value_lines
from jobs.procedures.limit_change import WORDS, LimitChange
from shop.differing import KIND_WORDS, ChangeKind, FieldWords, moved, text_lines
from shop.engineering.quantities import QuantityError

BETWEEN = " · "


def table_words(shape: Shape, old: Tree, new: Tree, *, within: str = "") -> Iterator[FieldWords]:
    """Each field that says something else, each row added, removed, changed or moved.

    Args:
        within: what the table lies in, as the labels begin: "RO", "weld LS1".
    """
    for key in dict.fromkeys((*shape.keys, *old, *new)):
        before, now = old.get(key), new.get(key)
        if before == now:
            continue
        if key in shape.tables:
            inner = shape.tables[key]
            label = _joined(within, str(inner.word))
            yield from table_words(inner, _table(before), _table(now), within=label)
        elif key in shape.lists and _is_rows(before) and _is_rows(now):
            yield from _rows(shape.lists[key], before or [], now or [], within)
        else:
            yield _field(key, shape, before, now, within)


def _field(key: str, shape: Shape, old: Any, new: Any, within: str) -> FieldWords:
    spec = shape.specs.get(key) or (usual_spec(key) if key in shape.keys else Spec(field_label(key)))
    label = _joined(within, str(spec.label))
    before, now = _said(key, spec, old), _said(key, spec, new)
    if max(len(before), len(now)) > 1:
        return FieldWords(label, lines=tuple(text_lines(before, now)))
    return FieldWords(label, BETWEEN.join(before), BETWEEN.join(now), _verdict(key, old, new))


def _said(key: str, spec: Spec, value: Any) -> tuple[str, ...]:
    """A value in the words of its field; several names on one line, lines of text each on its own."""
    words = {word: str(label) for word, label in spec.choices}
    if isinstance(value, str):
        return (words.get(value, value),) if value else ()
    is_named = isinstance(value, list) and bool(spec.among) and all(isinstance(v, str) for v in value)
    return (", ".join(value),) if is_named and value else value_lines(key, value)


def _rows(shape: Shape, old: list[Tree], new: list[Tree], within: str) -> Iterator[FieldWords]:
    """The rows of a list, known again by their codes or names; what is gone comes last."""
    before, now = rows_by_name(shape, old), rows_by_name(shape, new)
    moves = moved(list(before), list(now))
    for name, row in now.items():
        label = _joined(within, f"{shape.word} {name}")
        if name not in before:
            yield FieldWords(label, new=_joined(str(KIND_WORDS[ChangeKind.ADDED]), row_words(shape, row)))
            continue
        yield from table_words(shape, before[name], row, within=label)
        if name in moves:
            yield FieldWords(label, new=_place_words(list(now), name))
    for name, row in before.items():
        if name not in now:
            yield FieldWords(
                _joined(within, f"{shape.word} {name}"),
                old=row_words(shape, row),
                new=str(KIND_WORDS[ChangeKind.REMOVED]),
            )


def rows_by_name(shape: Shape, rows: Sequence[Tree]) -> dict[str, Tree]:
    """Rows by their codes, else by their names, else by their numbers; each once."""
    found: dict[str, Tree] = {}
    key = "code" if shape.is_coded else "name"
    for number, row in enumerate(rows, start=1):
        name = str(row.get(key) or number)
        found[name if name not in found else f"{name} ({number})"] = row
    return found


def _place_words(names: list[str], name: str) -> str:
    at = names.index(name)
    after = names[at - 1] if at else ""
    return _("moved behind %(code)s") % {"code": after} if after else _("moved to the top")


def row_words(shape: Shape, row: Tree) -> str:
    """All that a row says, on one line."""
    told = []
    for key, value in row.items():
        if key == "code" or (key == "name" and not shape.is_coded):
            continue
        spec = shape.specs.get(key) or Spec(field_label(key))
        inner = shape.lists.get(key)
        if inner is not None and _is_rows(value):
            told += [
                f"{inner.word} {name}: {row_words(inner, each)}"
                for name, each in rows_by_name(inner, value).items()
            ]
        else:
            told.append(f"{spec.label} {', '.join(_said(key, spec, value))}")
    return BETWEEN.join(told)


def _verdict(key: str, old: Any, new: Any) -> str:
    """Whether a mark may be off by more or by less than before; nothing for other fields."""
    try:
        if key != "tolerance" or not (old and new):
            return ""
        before, now = parse_tolerance(str(old)).quanta, parse_tolerance(str(new)).quanta
    except QuantityError:
        return ""
    if before == now:
        return str(WORDS[LimitChange.SAME])
    return str(WORDS[LimitChange.TIGHTER if now < before else LimitChange.LOOSER])


def _table(value: Any) -> Tree:
    return dict(value) if isinstance(value, Mapping) else {}


def _is_rows(value: Any) -> bool:
    return value is None or (isinstance(value, list) and all(isinstance(row, dict) for row in value))


def _joined(within: str, label: str) -> str:
    return f"{within}, {label}" if within else capfirst(label)
