"""A mark of the layout on one side of the car: what is read of it, chosen once for everybody who reads."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from jobs.judging.layouts import Layout, Mark, View
from jobs.judging.questions import words
from jobs.models import Checkpoint, CheckpointKind
from shop.engineering.layout import plane
from shop.engineering.layout.cross_checks import CheckPlan, plan_checks
from shop.engineering.layout.tapes import Tape
from shop.engineering.layout.words import length_words, span_words

# What is to be read does not hang on the tape that is picked: it is chosen for a usual one.
PLANNING_TAPES = {
    "in": Tape("in", error=1 / 32, resolution=1 / 32),
    "mm": Tape("mm", error=0.8, resolution=1.0),
}


@dataclass(frozen=True)
class Asked:
    """One reading of a mark. `is_check`: from another datum than it is laid out from."""

    name: str
    label: str
    span: plane.Span
    is_check: bool


@dataclass(frozen=True)
class MarkCase:
    """A mark on one side of the car, with the readings that are taken of it."""

    view: View
    mark: Mark
    side: str

    @property
    def unit(self) -> str:
        return self.view.unit

    @property
    def is_mirrored(self) -> bool:
        return self.view.is_mirrored_for(self.side)

    @cached_property
    def plan(self) -> CheckPlan:
        datums = self.view.plane_datums(self.unit)
        return plan_checks(
            self.mark.in_unit(self.unit, datums), list(datums.values()), PLANNING_TAPES[self.unit]
        )

    def plan_in(self, unit: str) -> CheckPlan:
        """The same readings in the unit of another tape."""
        if unit == self.unit:
            return self.plan
        datums = self.view.plane_datums(unit)

        def told(spans: Sequence[plane.Span]) -> tuple[plane.Span, ...]:
            return tuple(plane.Span(datums[span.datum.code], span.end) for span in spans)

        mark = self.mark.in_unit(unit, datums)
        plan = self.plan
        return CheckPlan(mark, told(plan.laid_out), told(plan.checks), (), plan.worst, plan.worst_without_one)

    @cached_property
    def asked(self) -> tuple[Asked, ...]:
        laid = len(self.plan.laid_out)
        return tuple(
            Asked(
                f"r{n}",
                capfirst(words(span_words(self.plan.mark, span, self.view.axes, {}))),
                span,
                n > laid,
            )
            for n, span in enumerate(self.plan.spans, start=1)
        )

    @property
    def useless(self) -> tuple[str, ...]:
        """Which other datums are of no use, in words."""
        found = []
        for each in self.plan.useless:
            parts = {"datum": each.span.datum.code, "beside": each.beside.datum.code if each.beside else ""}
            if each.beside is None:
                found.append(_("%(datum)s: the tape would run along the line") % parts)
            else:
                found.append(_("%(datum)s: nearly parallel to the reading from %(beside)s") % parts)
        return tuple(dict.fromkeys(found))

    def nominal(self, each: Asked) -> str:
        return length_words(self.plan.mark.reads(each.span), self.unit)


def case_of(layout: Layout, checkpoint: Checkpoint) -> MarkCase | None:
    """The mark that a checkpoint is about; None for other kinds, or where the layout does not have it."""
    found = layout.find(checkpoint.mark) if checkpoint.kind == CheckpointKind.MARK else None
    return MarkCase(found[0], found[1], checkpoint.side) if found else None
