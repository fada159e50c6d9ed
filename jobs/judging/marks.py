"""A mark of the layout at its checkpoint: what is read of it, and what its readings say together."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.judging.instruments import Choice, agreed_rule, pick_instrument
from jobs.judging.layouts import Layout, Mark, View
from jobs.judging.questions import Judged, Question, read_back, words, worst
from jobs.models import Checkpoint, CheckpointKind, Result
from shop.engineering.decision import decide_agreement
from shop.engineering.decision.thresholds import Verdict
from shop.engineering.layout import plane
from shop.engineering.layout.checking import MarkCheck, check_mark
from shop.engineering.layout.cross_checks import CheckPlan, plan_checks
from shop.engineering.layout.tapes import Tape, tape_of
from shop.engineering.layout.words import length_words, sentences, span_words
from shop.engineering.quantities import Quantity

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


def judge_mark(question: Question) -> Judged:
    """Judge a mark by all its readings together.

    Raises:
        BadInput: a reading cannot be understood, the instrument may not be used, the layout lacks the mark.
    """
    case = case_of(Layout.of(question.layout), question.checkpoint)
    if case is None:
        raise BadInput(
            {
                "instrument": _("The layout of this procedure has no mark %(code)s")
                % {"code": question.checkpoint.mark}
            }
        )
    values = _values(question, case)
    picked = pick_instrument(question, [], list(values.values()))
    tape = tape_of(picked.data)
    plan = case.plan_in(tape.unit)
    datums = list(case.view.plane_datums(tape.unit).values())
    read = [float(values[each.name].to(tape.unit).value) for each in case.asked]
    check = check_mark(plan, read, datums, tape, agreed_rule(question.settings))
    explanation = " ".join(words(sentence) for sentence in sentences(check, case.view.axes))
    readings = {name: question.kept(name, value) for name, value in values.items()}
    decision = _decision(case, check, picked, question, explanation)
    return Judged(check.verdict, explanation, readings, decision, picked.row)


def _values(question: Question, case: MarkCase) -> dict[str, Quantity]:
    """Every reading, all faults at once."""
    values, errors = {}, {}
    for each in case.asked:
        try:
            values[each.name] = question.quantity(each.name, case.unit)
        except BadInput as bad:
            errors.update(bad.errors)
            continue
        if values[each.name].value <= 0:
            errors[each.name] = _("A tape reads more than nothing here")
    if errors:
        raise BadInput(errors)
    return values


def _decision(
    case: MarkCase, check: MarkCheck, picked: Choice, question: Question, explanation: str
) -> dict[str, Any]:
    slip = check.slip
    return {
        "kind": "mark",
        "verdict": str(check.verdict),
        "mark": case.mark.code,
        "view": case.view.code,
        "side": case.side,
        "unit": check.tape.unit,
        "tolerance": case.mark.tolerance_text,
        "asked": [
            {
                "name": each.name,
                "datum": each.span.datum.code,
                "end": each.span.end,
                "label": each.label,
                "should": case.nominal(each),
                "is_check": each.is_check,
            }
            for each in case.asked
        ],
        "off": [
            {"off": f"{o.off:.6f}", "expanded": f"{o.expanded:.6f}", "verdict": str(o.verdict)}
            for o in check.offsets
        ],
        "agrees": check.agrees,
        "slip": {"slip": str(slip.slip), "where": slip.where, "datum": slip.datum} if slip else None,
        "rule": agreed_rule(question.settings).as_json(),
        "instrument": picked.data.as_json(),
        "explanation": explanation,
    }


def should_and_read(result: Any) -> list[tuple[str, str, str]]:
    """What a tape should read and what it read, reading by reading: label, should, read with its unit."""
    rows = []
    readings: Mapping[str, Mapping[str, str]] = result.readings
    for each in result.decision.get("asked", ()):
        read = readings.get(each["name"], {})
        rows.append((each["label"], each["should"], f"{read.get('entered', '')} {read.get('unit', '')}"))
    return rows


def judge_mark_again(question: Question, first: Checkpoint, result: Result, agree: Quantity | None) -> Judged:
    """A second person's own readings: inside of the same tolerance, and each in agreement with the first.

    Raises:
        BadInput: as `judge_mark` does.
    """
    own = judge_mark(
        Question(first, question.payload, question.on, question.settings, layout=question.layout)
    )
    picked = pick_instrument(question, [], [read_back(kept) for kept in own.readings.values()])
    agreements = {
        name: decide_agreement(read_back(result.readings[name]), read_back(kept), picked.data, agree)
        for name, kept in own.readings.items()
        if name in result.readings
    }
    labels = {each["name"]: each["label"] for each in own.decision["asked"]}
    apart = [
        f"{labels[name]}: {words(found.explanation)}"
        for name, found in agreements.items()
        if found.verdict != Verdict.CONFORMS
    ]
    explanation = " ".join([own.explanation, *(apart or [_("Both persons read the same.")])])
    return Judged(
        worst(own.verdict, *(found.verdict for found in agreements.values())),
        explanation,
        own.readings,
        {
            **own.decision,
            "explanation": explanation,
            "agreements": {name: found.as_json() for name, found in agreements.items()},
        },
        own.instrument,
    )
