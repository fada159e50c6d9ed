"""The counting sheet of one delivery: its rows, what was typed, and what is wrong with it."""

from collections.abc import Mapping
from dataclasses import replace

from django.http import QueryDict

from parts.counting_rows import counting_rows
from parts.deliveries import Delivery
from parts.facts import OrderFacts, ReceiptFact
from parts.forms.counting import CountForm, PiecesForm, UnlistedForm
from parts.models import KitOrder, PackingSlip
from parts.reconciling import load_facts, standing_of

BLANK_ROWS = 3


class CountingSheet:
    """One page of counting. `data` is what was posted, None for a sheet not yet begun."""

    def __init__(self, order: KitOrder, slip: PackingSlip | None, data: QueryDict | None = None) -> None:
        self.slip = slip
        facts = load_facts([order])[order.pk]
        self.standing = standing_of(facts)
        rows = counting_rows(self.standing, slip)
        self.counts = [CountForm(row, data, prefix=f"row{at}") for at, row in enumerate(rows)]
        self.unlisted = [UnlistedForm(data, number=at + 1) for at in range(BLANK_ROWS)]
        self.forms: list[PiecesForm] = [*self.counts, *self.unlisted]
        if data is not None:
            self._look_ahead(facts)

    def _look_ahead(self, facts: OrderFacts) -> None:
        """Say beside each row how its line would stand once this is recorded."""
        typed = [form for form in self.counts if form.is_counted]
        received = [*facts.received, *(_fact(form, self.slip) for form in typed)]
        lines = {line.kit_line_id: line for line in standing_of(replace(facts, received=received)).lines}
        for form in typed:
            form.would_stand = lines[form.row.line.kit_line_id] if form.row.line else None

    @property
    def on_slip(self) -> list[CountForm]:
        return [form for form in self.counts if form.row.on_slip]

    @property
    def others(self) -> list[CountForm]:
        return [form for form in self.counts if not form.row.on_slip]

    @property
    def others_typed(self) -> bool:
        """Whether something stands in the rows that are not on the slip, so that they are shown open."""
        return any(form.is_bound and form.has_changed() for form in self.others)

    def is_valid(self) -> bool:
        return not any(form.errors for form in self.forms)

    def delivery(self) -> Delivery:
        """What was counted; rows left blank were not."""
        counted = tuple(form.part() for form in self.forms if form.is_counted)
        return Delivery(self.slip.number if self.slip else "", counted)

    def refuse(self, fields: Mapping[str, Mapping[str, str]]) -> None:
        """Put what the door said of a part beside it."""
        for form in self.forms:
            said = fields.get(form.of_part, {}) if form.is_counted else {}
            if isinstance(form, CountForm):
                form.asked_again = "again" in said
            for words in said.values():
                form.add_error("counted", words)

    @property
    def errors(self) -> list[tuple[str, str]]:
        """Every error with the id of its field, for the list on top."""
        return [
            (form[name].id_for_label, f"{form.of_part} {words}".strip())
            for form in self.forms
            for name, found in form.errors.items()
            for words in found
        ]


def as_slipped(sheet: CountingSheet, data: QueryDict) -> QueryDict:
    """What was posted, with the slip's figures in the good counts of the rows left blank."""
    filled = data.copy()
    for form in sheet.on_slip:
        name = form.add_prefix("counted")
        if not str(filled.get(name, "")).strip():
            filled[name] = str(form.row.slipped)
    return filled


def _fact(form: CountForm, slip: PackingSlip | None) -> ReceiptFact:
    part, line = form.part(), form.row.line
    return ReceiptFact(
        slip_id=slip.pk if slip else None,
        kit_line_id=line.kit_line_id if line else None,
        part_number=part.part_number,
        note=part.note,
        counted=part.counted,
        damaged=part.damaged,
        wrong=part.wrong,
    )
