"""What the pages of kit lists show: a draft with its faults, one line with its fields, two lists compared."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django import forms
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from parts.cars import Car, cars
from parts.kit_differences import KitDifferences, kit_differences, line_label
from parts.kit_drafting import FIELDS, Cells, KitDraftState, kit_draft_state
from parts.kit_sheet import SIDES, KitSheet, kit_sheet
from parts.kit_superseding import KitChange, kit_changes, undecided
from parts.models import KitDecision, KitDefinition, KitDraft, KitDraftVersion, KitOrder, KitRevision
from shop.file_errors import FileErrors
from shop.revisions import RevisionState

DRAFT = "draft "
LATEST = 12
LONG = frozenset({"description", "substitutes"})
CHOICES = {
    "side": [("", "–"), *((side, side) for side in SIDES)],
    "critical": [("yes", "yes"), ("no", "no")],
}
HINTS = {
    "operation": "A30",
    "substitutes": "T1-201;T1-202",
    "thread": "1/2-20",
    "length": "2 1/2 in",
    "unit_cost": "12.50",
}


def open_kit_draft(code: str, revision: str) -> KitDraft:
    drafts = KitDraft.objects.select_related("kit__supplier", "begun_from__kit")
    return get_object_or_404(drafts, kit__code=code, revision=revision, closed_at=None)


@dataclass(frozen=True)
class DraftRow:
    """One part in the list of a draft."""

    number: int
    cells: Mapping[str, str]
    faults: int


@dataclass(frozen=True)
class KitDraftPage:
    """A draft as a whole."""

    state: KitDraftState
    rows: tuple[DraftRow, ...]
    versions: tuple[KitDraftVersion, ...]
    said: str = ""

    @property
    def draft(self) -> KitDraft:
        return self.state.draft

    @property
    def seen(self) -> int:
        return self.state.version.number

    @property
    def whole(self) -> list[str]:
        return self.state.whole

    @property
    def fault_count(self) -> int:
        return len(self.state.errors)


def kit_draft_page(draft: KitDraft, *, said: str = "") -> KitDraftPage:
    state = kit_draft_state(draft)
    rows = tuple(
        DraftRow(at + 1, row.cells, sum(map(len, state.faults(at).values())))
        for at, row in enumerate(state.rows)
    )
    versions = draft.versions.select_related("person").order_by("-number")[:LATEST]
    return KitDraftPage(state, rows, tuple(versions), said)


class KitLineForm(forms.Form):
    """One line of a draft, with its faults beside its fields."""

    def __init__(
        self, cells: Cells, *, faults: Mapping[str, list[str]], data: Mapping[str, Any] | None = None
    ) -> None:
        super().__init__(data, auto_id="line-%s", use_required_attribute=False)
        self.faults = faults
        self.cells = cells
        for name in FIELDS:
            self.fields[name] = _field(name, cells.get(name, ""))

    def rows(self) -> list[tuple[forms.BoundField, list[str]]]:
        return [(self[name], self.faults.get(name, [])) for name in self.fields]

    def written(self) -> Cells:
        self.is_valid()
        typed = {name: " ".join(str(self.cleaned_data.get(name) or "").split()) for name in FIELDS}
        return {**self.cells, **typed}


FIRST_LINE: Cells = dict.fromkeys(FIELDS, "") | {"quantity": "1", "critical": "no"}


class KitHeadForm(forms.Form):
    """The kit itself, whose first part stands in a form of a line."""

    kit = forms.CharField(
        label=gettext_lazy("Code"), max_length=30, help_text=gettext_lazy("Such as KIT-300; it stays.")
    )
    kit_name = forms.CharField(label=gettext_lazy("Name"), max_length=120)
    supplier = forms.CharField(label=gettext_lazy("Supplier"), max_length=80)

    def __init__(self, data: Any = None) -> None:
        super().__init__(data, use_required_attribute=False)
        self.fields["kit"].error_messages["required"] = _("Enter a code for the kit")
        self.fields["kit_name"].error_messages["required"] = _("Enter its name")
        self.fields["supplier"].error_messages["required"] = _("Enter who supplies it")

    def tell(self, refused: FileErrors) -> dict[str, list[str]]:
        """What the reader of files finds wrong: the kit's beside its fields here; the rest by column."""
        others: dict[str, list[str]] = {}
        for error in refused.errors:
            if error.name in self.fields or error.name not in FIELDS:
                self.add_error(error.name if error.name in self.fields else None, error.message)
            else:
                others.setdefault(error.name, []).append(error.message)
        return others


def _field(name: str, value: str) -> forms.Field:
    row = {"critical": "is_critical"}.get(name, name)
    label = line_label(row)
    if name in CHOICES:
        known = [word for word, _label in CHOICES[name]]
        strange = [(value, value)] if value.lower() not in known else []
        field = forms.CharField(label=label, initial=value, required=False)
        field.widget = forms.Select(choices=[*CHOICES[name], *strange])
        return field
    long = {"class": "draft-long"} if name in LONG else {}
    hint = _("such as %(what)s") % {"what": HINTS[name]} if name in HINTS else ""
    return forms.CharField(
        label=label, initial=value, required=False, help_text=hint, widget=forms.TextInput(attrs=long)
    )


@dataclass(frozen=True)
class Side:
    """One of the two lists that are compared."""

    name: str
    state: str
    sheet: KitSheet


@dataclass(frozen=True)
class KitComparePage:
    kit: KitDefinition
    sides: tuple[Side, ...]
    old: Side | None
    new: Side | None
    words: KitDifferences | None


def kit_compare_page(kit: KitDefinition, *, old: str, new: str) -> KitComparePage:
    """What the newer of two lists changes; by default the one in force against the one before it."""
    kept = [Side(r.revision, str(r.get_state_display()), kit_sheet(r)) for r in kit.revisions.order_by("pk")]
    in_force = [r.revision for r in kit.revisions.filter(state=RevisionState.RELEASED)]
    written = []
    for draft in KitDraft.objects.filter(kit=kit, closed_at=None).select_related("kit__supplier"):
        sheet = kit_draft_state(draft).sheet
        if sheet is not None:
            written.append(Side(f"{DRAFT}{draft.revision}", _("being written"), sheet))
    sides = (*kept, *written)
    newer = _named(sides, new) or (kept[-1] if kept else None)
    others = [side for side in kept if newer is not None and side.name != newer.name]
    older = _named(sides, old) or _named(others, *in_force) or (others[-1] if others else None)
    if older is None or newer is None:
        return KitComparePage(kit, sides, older, newer, None)
    return KitComparePage(kit, sides, older, newer, kit_differences(older.sheet, newer.sheet))


def _named(sides: Sequence[Side], *names: str) -> Side | None:
    return next((side for side in sides if side.name in names), None)


@dataclass(frozen=True)
class OrderOnFloor:
    """An order by an older list, with what the list in force changes for it."""

    order: KitOrder
    car: Car | None
    change: KitChange | None
    decision: KitDecision | None
    is_undecided: bool


def kit_floor(
    kit: KitDefinition, *, now: dt.datetime, to: KitRevision | None = None
) -> tuple[OrderOnFloor, ...]:
    """Every order of a kit whose car is not handed over, those that wait for a decision first.

    Shown beside each is what the list in force changes for it, or a draft `to` that is about to be.
    """
    orders = list(KitOrder.objects.with_kit().filter(kit_revision__kit=kit).order_by("number"))
    of = cars().of_orders([order.pk for order in orders])
    waiting = {order.pk for order in undecided(orders)}
    rows = KitDecision.objects.filter(order__in=orders).select_related("to_revision", "person")
    decided = {row.order_id: row for row in rows.order_by("pk")}
    here = [order for order in orders if order.pk not in of or not of[order.pk].is_released]
    changes = kit_changes(here, now=now, to=to)
    found = [
        OrderOnFloor(o, of.get(o.pk), changes.get(o.pk), decided.get(o.pk), o.pk in waiting) for o in here
    ]
    return tuple(sorted(found, key=lambda each: not each.is_undecided))
