"""A form's field for one key of a file, what it shows, and what becomes of what was typed."""

from collections.abc import Mapping
from typing import Any

from django import forms

from jobs.procedures.field_specs import Spec

CAUTIONS = "cautions"
Choices = list[tuple[str, Any]]


def is_plain(key: str, spec: Spec, value: Any) -> bool:
    """Whether a value can be written in a field: a text, or a list of lines."""
    if value is None or isinstance(value, str):
        return True
    if not isinstance(value, list):
        return False
    if key == CAUTIONS:
        return all(isinstance(item, dict) and set(item) <= {"signal", "text"} for item in value)
    return spec.is_list and all(isinstance(item, str) for item in value)


def field_of(key: str, spec: Spec, value: Any, choices: Choices, codes: Mapping[str, Choices]) -> forms.Field:
    """The field of a key; what stands there is kept as a choice though it is none of those known."""
    shown = as_typed(value, spec)
    label, hint = str(spec.label), str(spec.hint)
    if isinstance(shown, list):
        known = {word for word, _label in choices}
        strange = [(word, word) for word in shown if word not in known]
        return _Words(label, hint, _in_order(shown, [*choices, *strange]), shown)
    if choices or spec.among:
        known = {word for word, _label in choices}
        strange = [(shown, shown)] if shown and shown not in known else []
        field = forms.CharField(label=label, initial=shown, required=False, help_text=hint)
        field.widget = forms.Select(choices=[("", "–"), *choices, *strange])
        return field
    attributes: dict[str, Any] = {"class": "draft-long"} if spec.is_long else {}
    if spec.is_list or spec.keeps_lines:
        rows = 4 if spec.keeps_lines else max(2, min(12, shown.count("\n") + 2))
        widget: forms.Widget = forms.Textarea(attrs={"rows": rows, "class": "draft-lines"})
    else:
        widget = forms.TextInput(attrs=attributes)
    field = forms.CharField(label=label, initial=shown, required=False, widget=widget, help_text=hint)
    if spec.offered:
        widget.attrs["list"] = f"offered-{spec.offered}"
        field.offered = [word for word, _label in codes.get(spec.offered, [])]  # type: ignore[attr-defined]
    return field


def as_typed(value: Any, spec: Spec) -> str | list[str]:
    """What stands in the field of a value: the words that are ticked, or its text."""
    is_ticked = spec.is_list and bool(spec.choices or spec.among)
    if is_ticked:
        return [value] if isinstance(value, str) and value else list(value or [])
    if isinstance(value, list):
        return "\n".join(_line(item) for item in value)
    return str(value or "")


def value_of(key: str, spec: Spec, typed: Any, before: Any) -> Any:
    """What is written of what was typed."""
    if spec.is_list and (spec.choices or spec.among):
        words = list(typed or [])
        is_bare = spec.is_loose and len(words) == 1 and not isinstance(before, list)
        return words[0] if is_bare else words
    text = str(typed or "").replace("\r\n", "\n").replace("\r", "\n")
    if spec.keeps_lines:
        return text.strip()
    if not spec.is_list:
        return " ".join(text.split())
    lines = [" ".join(line.split()) for line in text.split("\n") if line.strip()]
    return [_caution(line) for line in lines] if key == CAUTIONS else lines


class _Words(forms.MultipleChoiceField):
    """Words out of a list; one that is not in it is kept, for the reader of the file to judge."""

    def __init__(self, label: str, hint: str, choices: Choices, value: list[str]) -> None:
        super().__init__(
            label=label,
            help_text=hint,
            choices=choices,
            initial=value,
            required=False,
            widget=forms.CheckboxSelectMultiple,
        )

    def validate(self, value: Any) -> None:
        return


def _in_order(ticked: list[str], choices: Choices) -> Choices:
    """Several that are ticked come first, in their order: it is the order in which they are written."""
    if len(ticked) < 2:
        return choices
    return sorted(choices, key=lambda each: ticked.index(each[0]) if each[0] in ticked else len(ticked))


def _line(item: Any) -> str:
    return f"{item.get('signal', '')}: {item.get('text', '')}" if isinstance(item, dict) else str(item)


def _caution(line: str) -> dict[str, str]:
    signal, colon, text = line.partition(":")
    return {"signal": signal.strip(), "text": text.strip()} if colon else {"text": line}
