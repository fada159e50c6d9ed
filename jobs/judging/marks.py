"""A mark of the layout at its checkpoint: what is read of it, and what its readings say together."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.judging.instruments import Choice, agreed_rule, pick_instrument
from jobs.judging.layouts import Layout
from jobs.judging.mark_case import MarkCase, case_of
from jobs.judging.questions import Judged, Question, read_back, words, worst
from jobs.models import Checkpoint, Result
from shop.engineering.decision import decide_agreement
from shop.engineering.decision.rules import Rule
from shop.engineering.decision.thresholds import Verdict
from shop.engineering.layout.checking import MarkCheck, check_mark
from shop.engineering.layout.tapes import Tape, tape_of
from shop.engineering.layout.words import sentences
from shop.engineering.quantities import Quantity


@dataclass(frozen=True)
class MarkRead:
    """What one person read of a mark, in the unit of their tape, with all that it is judged by."""

    case: MarkCase
    values: Mapping[str, Quantity]
    picked: Choice
    rule: Rule

    @cached_property
    def tape(self) -> Tape:
        return tape_of(self.picked.data)

    @cached_property
    def row(self) -> list[float]:
        return [float(self.values[each.name].to(self.tape.unit).value) for each in self.case.asked]

    def row_of(self, result: Result) -> list[float]:
        """An earlier result of the same readings."""
        kept = (read_back(result.readings[each.name]) for each in self.case.asked)
        return [float(quantity.to(self.tape.unit).value) for quantity in kept]

    def check(self, before: Sequence[Sequence[float]] = ()) -> MarkCheck:
        plan, datums = (
            self.case.plan_in(self.tape.unit),
            list(self.case.view.plane_datums(self.tape.unit).values()),
        )
        return check_mark(plan, self.row, datums, self.tape, self.rule, before=before)

    def said(self, check: MarkCheck) -> str:
        return " ".join(words(sentence) for sentence in sentences(check, self.case.view.axes))


def judge_mark(question: Question) -> Judged:
    """Judge a mark by all its readings together.

    Raises:
        BadInput: a reading cannot be understood, the instrument may not be used, the layout lacks the mark.
    """
    read = _mark_read(question)
    own = read.check()
    before = rows_before(own, read, question.earlier)
    # What does not conform by itself does not: another reading never makes it good.
    check = own
    if before and own.verdict != Verdict.DOES_NOT_CONFORM:
        check = read.check([row for _pk, row in before])
    return _judged(question, read, check, [pk for pk, _row in before] if check is not own else [])


def _mark_read(question: Question) -> MarkRead:
    case = case_of(Layout.of(question.layout), question.checkpoint)
    if case is None:
        lacks = _("The layout of this procedure has no mark %(code)s")
        raise BadInput({"instrument": lacks % {"code": question.checkpoint.mark}})
    values = _values(question, case)
    picked = pick_instrument(question, [], list(values.values()))
    return MarkRead(case, values, picked, agreed_rule(question.settings))


def _judged(question: Question, read: MarkRead, check: MarkCheck, earlier: Sequence[int]) -> Judged:
    explanation = read.said(check)
    readings = {name: question.kept(name, value) for name, value in read.values.items()}
    decision = _decision(read.case, check, read.picked, question, explanation)
    if earlier:
        decision["together"] = {"earlier": [{"result": pk} for pk in earlier]}
    return Judged(check.verdict, explanation, readings, decision, read.picked.row)


def rows_before(own: MarkCheck, read: MarkRead, earlier: Sequence[Result]) -> list[tuple[int, list[float]]]:
    """The earlier readings that are of the same mark, in the unit of the tape, the oldest first.

    A mark that was made again, or a reading that was wrong, is another thing: only those count that differ
    from the newest by no more than the tape allows, and that agreed among themselves.
    """
    found = []
    for result in earlier:
        if not result.decision.get("agrees") or not own.agrees or not _asked_the_same(read.case, result):
            continue
        row = read.row_of(result)
        if own.is_alike(row):
            found.append((result.pk, row))
    return found


def _asked_the_same(case: MarkCase, result: Result) -> bool:
    taken = [(each["name"], each["datum"], each["end"]) for each in result.decision.get("asked", ())]
    return taken == [(each.name, each.span.datum.code, each.span.end) for each in case.asked]


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

    Which slip explains what is wrong is asked of both persons' readings together.

    Raises:
        BadInput: as `judge_mark` does.
    """
    asked = Question(first, question.payload, question.on, question.settings, layout=question.layout)
    read = _mark_read(asked)
    own = _judged(asked, read, read.check(), [])
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
    by_both = _by_both(read, result)
    told = [by_both or own.explanation, *(apart or [_("Both persons read the same.")])]
    explanation = " ".join(told)
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


def _by_both(read: MarkRead, result: Result) -> str:
    """What both persons' readings say together, where they name a slip; else nothing."""
    if not _asked_the_same(read.case, result):
        return ""
    check = read.check([read.row_of(result)])
    return read.said(check) if check.slip is not None else ""
