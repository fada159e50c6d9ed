"""The fields of one table of a draft: made from the keys that the file knows, read back into the tree.

What stands under a key that has no field here is shown as it is written and stays as it is; so does a field
that was not changed, to the letter.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django import forms

from jobs.procedures.draft_faults import Placed
from jobs.procedures.draft_shapes import Shape, Tree
from jobs.procedures.draft_tree import numbered
from jobs.procedures.field_specs import Spec, usual_spec
from jobs.procedures.field_words import field_label
from jobs.procedures.file.export import in_yaml
from jobs.procedures.spec_fields import as_typed, field_of, is_plain, value_of

PREFIX = "f_"
Codes = Mapping[str, list[tuple[str, str]]]
Named = tuple[forms.BoundField, list[str]]


@dataclass(frozen=True)
class FormRow:
    """One row of a list that is filled in on the page of the table it lies in."""

    key: str
    number: int
    code: str
    fields: tuple[Named, ...]
    own: tuple[str, ...]

    @property
    def place(self) -> int:
        """Its number as buttons name it, from 1 on."""
        return self.number + 1

    @property
    def dom_id(self) -> str:
        return f"row-{self.key}-{self.number}"


@dataclass(frozen=True)
class FormList:
    """A list with its rows."""

    key: str
    label: str
    word: str
    rows: tuple[FormRow, ...]
    faults: tuple[str, ...]
    hints: tuple[tuple[str, str], ...]

    @property
    def dom_id(self) -> str:
        return f"list-{self.key}"


class PartForm(forms.Form):
    """The fields of one table, with its faults beside them.

    Args:
        part: the table as it stands.
        codes: what may be named where a field names other parts of the draft.
        data: what was typed; None where the page is only looked at.
    """

    def __init__(
        self,
        part: Tree,
        shape: Shape,
        *,
        faults: Placed,
        codes: Codes | None = None,
        data: Mapping[str, Any] | None = None,
    ) -> None:
        super().__init__(data, auto_id="part-%s", use_required_attribute=False)
        self.part, self.shape, self.faults = part, shape, faults
        self._codes: Codes = codes or {}
        # The name of each field with the table and the key that it writes.
        self._writes: dict[str, tuple[Tree, str]] = {}
        self._add(part, shape, PREFIX, data)
        for key, inner in shape.rows.items():
            for number, row in numbered(part, key):
                self._add(row, inner, f"{PREFIX}{key}-{number}-", data)
        self.other = {key: in_yaml({key: value}) for key, value in part.items() if self._has_no_field(key)}

    def _add(self, part: Tree, shape: Shape, prefix: str, data: Mapping[str, Any] | None) -> None:
        """The fields of one table; of the kind that was chosen, where that was changed."""
        kind = data.get(f"{prefix}kind") if data is not None else None
        as_chosen = {**part, "kind": str(kind)} if kind else part
        for key in shape.keys_of(as_chosen):
            spec = shape.specs.get(key) or usual_spec(key)
            if is_plain(key, spec, part.get(key)):
                choices = self._codes.get(spec.among, []) if spec.among else list(spec.choices)
                self.fields[prefix + key] = field_of(key, spec, part.get(key), choices, self._codes)
                self._writes[prefix + key] = (part, key)
                about = f"part-{prefix}{key}-faults"
                hint = f"part-{prefix}{key}_helptext " if spec.hint and prefix == PREFIX else ""
                self.fields[prefix + key].widget.attrs["aria-describedby"] = hint + about

    def _has_no_field(self, key: str) -> bool:
        is_list = key in self.shape.lists and isinstance(self.part[key], list)
        return PREFIX + key not in self.fields and not is_list and key not in self.shape.tables

    def lacks(self, data: Mapping[str, Any]) -> bool:
        """Whether it has fields that the page from which something was sent had not, as another kind has."""
        return any(
            name not in data and not isinstance(field, forms.MultipleChoiceField)
            for name, field in self.fields.items()
        )

    def rows(self) -> list[Named]:
        """Each field of the table itself with what is wrong with it."""
        return [
            (self[name], self.faults.by_key.get(key, []))
            for name, (part, key) in self._writes.items()
            if part is self.part
        ]

    def lists(self) -> Iterator[FormList]:
        """Each list that is filled in here, row by row."""
        for key, inner in self.shape.rows.items():
            rows = tuple(self._row(key, number, row) for number, row in numbered(self.part, key))
            faults = tuple(self.faults.by_key.get(key, ()))
            hints = tuple((str(s.label), str(s.hint)) for s in inner.specs.values() if s.hint)
            yield FormList(key, field_label(key), str(inner.word), rows, faults, hints if rows else ())

    def _row(self, key: str, number: int, row: Tree) -> FormRow:
        here = [(name, k) for name, (part, k) in self._writes.items() if part is row]
        shown = {k for _name, k in here}
        faults = {k: found for (of, n, k), found in self.faults.by_row.items() if (of, n) == (key, number)}
        fields = tuple((self[name], faults.get(k, [])) for name, k in here)
        own = tuple(f"{k}: {m}".removeprefix(": ") for k in faults if k not in shown for m in faults[k])
        return FormRow(key, number, str(row.get("code") or number + 1), fields, own)

    @property
    def elsewhere(self) -> list[str]:
        """What is wrong with the table but with none of its fields."""
        shown = {key for part, key in self._writes.values() if part is self.part} | set(self.shape.lists)
        more = [f"{key}: {m}" for key, found in self.faults.by_key.items() if key not in shown for m in found]
        return [*self.faults.own, *more]

    @property
    def errors_by_id(self) -> Iterator[tuple[str, str]]:
        """Every fault with the id of the field that it is about, or of none."""
        for field, found in self.rows():
            yield from ((field.id_for_label, f"{field.label}: {message}") for message in found)
        for each in self.lists():
            yield from (("", message) for message in each.faults)
            for row in each.rows:
                yield from ((f.id_for_label, f"{row.code}: {m}") for f, found in row.fields for m in found)
                yield from (("", f"{row.code}: {message}") for message in row.own)
        yield from (("", message) for message in self.elsewhere)

    def changed(self) -> set[str]:
        """The names of the fields in which something else was typed than what was shown."""
        self.is_valid()
        return {name for name in self.fields if self._is_changed(name)}

    def _is_changed(self, name: str) -> bool:
        part, key = self._writes[name]
        typed = self.cleaned_data.get(name)
        shown = as_typed(part.get(key), self._spec(name))
        if isinstance(shown, list):
            return set(shown) != set(typed or [])
        given = str(typed or "").replace("\r\n", "\n")
        # A browser leaves the ends of lines out of a field of one line.
        return given.strip() not in {shown.strip(), shown.replace("\n", "").strip()}

    def _spec(self, name: str) -> Spec:
        _part, key = self._writes[name]
        inner = name.removeprefix(PREFIX).split("-")[0]
        shape = self.shape.rows[inner] if "-" in name and inner in self.shape.rows else self.shape
        return shape.specs.get(key) or usual_spec(key)

    def written(self) -> Tree:
        """The table with what was typed; empty fields leave their key out."""
        changed = self.changed()
        made = self._table(self.part, changed)
        for key in self.shape.rows:
            rows = self.part.get(key)
            if isinstance(rows, list):
                made[key] = [self._table(r, changed) if isinstance(r, dict) else r for r in rows]
        return made

    def _table(self, part: Tree, changed: set[str]) -> Tree:
        made = dict(part)
        for name in changed:
            table, key = self._writes[name]
            if table is not part:
                continue
            value = value_of(key, self._spec(name), self.cleaned_data.get(name), part.get(key))
            # A list that was left empty on purpose says something else than no list.
            if value or (isinstance(value, list) and part.get(key) == []):
                made[key] = value
            else:
                made.pop(key, None)
        return made
