"""The fields of one part of a draft: made from the keys that the file knows, read back into the tree.

What stands under a key that has no field here is shown as it is written and stays as it is.
"""

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext as _

from jobs.models import Checkpoint, Operation, Procedure, ProcedureRevision
from jobs.procedures.draft_tree import CHECKPOINTS, Placed, Tree
from jobs.procedures.field_words import CHOICES, field_label
from jobs.procedures.file.checkpoints import SINGLE_USE
from jobs.procedures.file.export import in_yaml
from jobs.procedures.file.kinds import COMMON, EVERY_KEY, KEYS
from jobs.procedures.file.reading import OPERATION_KEYS, PROCEDURE_KEYS

LINES = frozenset(
    {"steps", "tools", "consumables", "criteria", "after", "cautions", "passes", "bay_features"}
)
WORDS = frozenset({"gates", "proves"})
YES_NO = frozenset({"hold_point", "at_ride_height"})
LONG = frozenset({"note", "vehicle_family", "title", "go", "shows", "name"})
# Tables of their own; they are written in the text.
TABLES = frozenset({"holes"})
OWN_CHOICES: Mapping[str, list[tuple[str, str]]] = {
    "side": [("left", "left"), ("right", "right"), ("both", "both")],
    "hardware": [(SINGLE_USE, SINGLE_USE)],
}
PREFIX = "f_"


class PartForm(forms.Form):
    """One operation, checkpoint or the head of a draft, with its faults beside its fields."""

    def __init__(
        self, part: Tree, keys: tuple[str, ...], *, faults: Placed, data: Mapping[str, Any] | None = None
    ) -> None:
        super().__init__(data, auto_id="part-%s", use_required_attribute=False)
        self.part, self.faults = part, faults
        for key in keys:
            if _is_plain(key, part.get(key)):
                self.fields[PREFIX + key] = _field(key, part.get(key))
        self._keys = keys
        self.other = {
            key: in_yaml({key: value})
            for key, value in part.items()
            if PREFIX + key not in self.fields and key != CHECKPOINTS
        }

    def rows(self) -> list[tuple[forms.BoundField, list[str]]]:
        """Each field with what is wrong with it."""
        return [(self[name], self.faults.by_key.get(name.removeprefix(PREFIX), [])) for name in self.fields]

    @property
    def elsewhere(self) -> list[str]:
        """What is wrong with the part but with none of its fields."""
        shown = {name.removeprefix(PREFIX) for name in self.fields}
        more = [f"{key}: {m}" for key, found in self.faults.by_key.items() if key not in shown for m in found]
        return [*self.faults.own, *more]

    def written(self) -> Tree:
        """The part with what was typed; empty fields leave their key out."""
        self.is_valid()
        changed = dict(self.part)
        for name in self.fields:
            key = name.removeprefix(PREFIX)
            value = _value(key, self.cleaned_data.get(name))
            # A list that was left empty on purpose says something else than no list.
            if value or (key in LINES and self.part.get(key) == []):
                changed[key] = value
            else:
                changed.pop(key, None)
        return changed


def head_keys() -> tuple[str, ...]:
    return tuple(key for key in PROCEDURE_KEYS if key not in {"code", "revision"})


def operation_keys() -> tuple[str, ...]:
    return tuple(key for key in OPERATION_KEYS if key != CHECKPOINTS and key not in TABLES)


def checkpoint_keys(part: Tree) -> tuple[str, ...]:
    """The keys that its kind takes, and those that stand there though they do not belong."""
    kind = KEYS.get(str(part.get("kind", "")))
    known = kind.all if kind else COMMON
    return (*known, *(key for key in part if key in EVERY_KEY and key not in known))


def _is_plain(key: str, value: Any) -> bool:
    """Whether a value can be written in a field: a text, or a list of lines."""
    if value is None or isinstance(value, str):
        return True
    if not isinstance(value, list):
        return False
    if key == "cautions":
        return all(isinstance(item, dict) and set(item) <= {"signal", "text"} for item in value)
    return (key in LINES or key in WORDS) and all(isinstance(item, str) for item in value)


def _field(key: str, value: Any) -> forms.Field:
    label = field_label(key, Checkpoint, Operation, ProcedureRevision, Procedure)
    if key in WORDS:
        known = list(CHOICES[key].choices)
        strange = [(word, word) for word in value or [] if word not in CHOICES[key].values]
        return _Words(label, [*known, *strange], value or [])
    if key in YES_NO:
        return _choice(label, [("yes", _("yes"))], value)
    if key in CHOICES or key in OWN_CHOICES:
        return _choice(label, list(OWN_CHOICES.get(key) or CHOICES[key].choices), value)
    if key in LINES:
        rows = max(2, min(12, len(value or []) + 1))
        area = forms.Textarea(attrs={"rows": rows, "class": "draft-lines"})
        return forms.CharField(
            label=label, initial=_as_lines(value), required=False, widget=area, help_text=_hint(key)
        )
    if key == "note":
        area = forms.Textarea(attrs={"rows": 4, "class": "draft-lines"})
        return forms.CharField(label=label, initial=value, required=False, widget=area)
    box = forms.TextInput(attrs={"class": "draft-long"} if key in LONG else {})
    return forms.CharField(label=label, initial=value, required=False, widget=box, help_text=_hint(key))


class _Words(forms.MultipleChoiceField):
    """Words out of a list; one that is not in it is kept, for the reader of the file to judge."""

    def __init__(self, label: str, choices: list[tuple[str, Any]], value: list[str]) -> None:
        super().__init__(
            label=label,
            choices=choices,
            initial=value,
            required=False,
            widget=forms.CheckboxSelectMultiple,
        )

    def validate(self, value: Any) -> None:
        return


def _choice(label: str, choices: list[tuple[str, Any]], value: Any) -> forms.Field:
    """One of some words; what stands there though it is none of them can be chosen too."""
    known = {word for word, _label in choices}
    strange = [(value, value)] if value and value not in known else []
    field = forms.CharField(label=label, initial=value or "", required=False)
    field.widget = forms.Select(choices=[("", "–"), *choices, *strange])
    return field


def _hint(key: str) -> str:
    return {
        "limit": _("as it is written: 31 1/4 ±1/16 in, ≤ 1/8 in, 65 ±10 % lbf·ft"),
        "equal": _("the most it may be: ≤ 1/16 in"),
        "agree": _("the most it may be: ≤ 1/16 in"),
        "angle": _("such as 90 ±10°"),
        "steps": _("one to a line"),
        "passes": _("one to a line, the smallest first"),
        "tools": _("one to a line"),
        "consumables": _("one to a line"),
        "criteria": _("one to a line"),
        "bay_features": _("one to a line, in the words of the bays: two-post lift"),
        "cautions": _("one to a line, the signal word first: WARNING: Never under a jack alone"),
        "after": _("codes, one to a line; nothing here means: after the operation above it"),
    }.get(key, "")


def _as_lines(value: Any) -> str:
    items = value or []
    told = [f"{i.get('signal', '')}: {i.get('text', '')}" if isinstance(i, dict) else i for i in items]
    return "\n".join(told)


def _value(key: str, typed: Any) -> Any:
    if key in WORDS:
        return list(typed or [])
    text = str(typed or "").replace("\r\n", "\n").replace("\r", "\n")
    if key == "note":
        return text.strip()
    lines = [" ".join(line.split()) for line in text.split("\n") if line.strip()]
    if key == "cautions":
        return [_caution(line) for line in lines]
    if key in LINES:
        return lines
    return " ".join(text.split())


def _caution(line: str) -> Tree:
    signal, colon, text = line.partition(":")
    return {"signal": signal.strip(), "text": text.strip()} if colon else {"text": line}
