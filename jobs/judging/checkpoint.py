"""Judging what was entered at a checkpoint: what was read, with what, inside of which limits.

Whatever is needed to judge again stands in the decision: exact readings, limits, uncertainty, guard band,
the rule's name and version.
"""

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.judging.instruments import pick_instrument
from jobs.judging.joint import judge_torque, judge_torque_angle
from jobs.judging.limits import limits_of, parsed
from jobs.judging.marks import judge_mark, judge_mark_again
from jobs.judging.position import judge_position, judge_position_again
from jobs.judging.questions import Judged, Question, read_back, recorded, said, words, worst
from jobs.judging.read_again import with_earlier
from jobs.judging.weld_panel import mapped
from jobs.models import Checkpoint, CheckpointKind, Proves, Result, ResultVerdict
from shop.engineering.decision import decide, decide_agreement, decide_pair
from shop.engineering.limits import Limits
from shop.engineering.quantities import Dimension, Quantity, QuantityError
from shop.models import ShopSettings

MOST_COUNT = 9999
MOST_NAMES = 120


def judge(
    checkpoint: Checkpoint,
    payload: Mapping[str, Any],
    *,
    on: dt.date,
    settings: ShopSettings,
    witnessed: tuple[Checkpoint, Result] | None = None,
    earlier: tuple[Result, ...] = (),
    layout: Mapping[str, Any] | None = None,
) -> Judged:
    """Judge what was entered at a checkpoint.

    Args:
        payload: the fields as they were entered.
        on: the shop's day, for calibrations.
        witnessed: for a witness, the checkpoint and result that are read a second time.
        earlier: readings that were too close to call, judged together with this one.
        layout: the layout of the procedure, for marks.

    Raises:
        BadInput: a field cannot be understood, or the instrument may not be used for it.
    """
    question = Question(checkpoint, payload, on, settings, witnessed, earlier, layout or {})
    try:
        return JUDGES[CheckpointKind(checkpoint.kind)](question)
    except QuantityError as error:
        raise BadInput({"value": said(error)}) from error


def _dimension(question: Question) -> Judged:
    limits = limits_of(question.checkpoint, question.settings)
    unit = limits.unit if limits else question.checkpoint.records
    value = question.quantity("value", unit)
    readings = {"value": question.kept("value", value)}
    if limits is not None and limits.dimension == Dimension.TIME:
        return _timed(limits, value, readings)
    instrument = pick_instrument(question, [limits] if limits else [], [value])
    if limits is None:
        return recorded(readings, instrument.row)
    rule = instrument.rule
    decision = decide(limits, instrument.data, value, rule)
    judged = Judged(
        decision.verdict, words(decision.explanation), readings, decision.as_json(), instrument.row
    )
    return with_earlier(judged, question, instrument.data, limits, None, rule)


def _timed(limits: Limits, value: Quantity, readings: dict[str, Any]) -> Judged:
    """A time is read off a clock, against which the minutes that are asked need no uncertainty."""
    low, high = limits.low_canonical, limits.high_canonical
    holds = (low is None or value.canonical >= low) and (high is None or value.canonical <= high)
    asked = {"reading": str(readings["value"]["entered"]), "limits": words(limits.describe())}
    sentence = (
        _("%(reading)s: %(limits)s is asked, and kept") if holds else _("%(reading)s: %(limits)s is asked")
    )
    judged = _plain(holds, sentence % asked, readings)
    return replace(judged, decision={**judged.decision, "limits": limits.as_json()})


def _pair(question: Question) -> Judged:
    limits = limits_of(question.checkpoint, question.settings)
    equal = parsed(question.checkpoint.equal, question.settings)
    unit = limits.unit if limits else question.checkpoint.records
    left, right = question.quantity("left", unit), question.quantity("right", unit)
    instrument = pick_instrument(question, [limits] if limits else [], [left, right], equal=equal)
    readings = {"left": question.kept("left", left), "right": question.kept("right", right)}
    if limits is None and equal is None:
        return recorded(readings, instrument.row)
    rule = instrument.rule
    decision = decide_pair(limits, equal, instrument.data, left, right, rule)
    kept = {**decision.as_json(), "instrument": instrument.data.as_json()}
    judged = Judged(decision.verdict, words(decision.explanation), readings, kept, instrument.row)
    return with_earlier(judged, question, instrument.data, limits, equal, rule)


def _weld(question: Question) -> Judged:
    criteria = question.checkpoint.criteria
    met: list[bool] = []
    errors = {}
    for number, _criterion in enumerate(criteria, start=1):
        said = str(question.payload.get(f"criterion_{number}", ""))
        if said not in {"yes", "no"}:
            errors[f"criterion_{number}"] = _("Judge this criterion")
        met.append(said == "yes")
    each = {
        weld.code: str(question.payload.get(f"w_{weld.code}", "")) for weld in mapped(question.checkpoint)
    }
    errors |= {f"w_{code}": _("Judge this weld") for code, said in each.items() if said not in {"yes", "no"}}
    if errors:
        raise BadInput(errors)
    failed = [text for text, holds in zip(criteria, met, strict=True) if not holds]
    failed += [_("weld %(code)s") % {"code": code} for code, said in each.items() if said == "no"]
    if failed:
        explanation = _("Not met: %(criteria)s") % {"criteria": "; ".join(failed)}
    else:
        explanation = _("All %(count)d criteria are met") % {"count": len(criteria)}
    judged = [{"criterion": t, "met": m} for t, m in zip(criteria, met, strict=True)]
    return _plain(not failed, explanation, {"criteria": judged, **({"welds": each} if each else {})})


def _count(question: Question) -> Judged:
    text = str(question.payload.get("count", "")).strip()
    if not text.isascii() or not text.isdecimal() or len(text) > 4 or int(text) > MOST_COUNT:
        raise BadInput({"count": _("Enter a whole number from 0 to 9999")})
    wanted, counted = question.checkpoint.count or 0, int(text)
    explanation = _("%(counted)d counted, %(wanted)d wanted") % {"counted": counted, "wanted": wanted}
    return _plain(counted == wanted, explanation, {"count": counted})


def _fit(question: Question) -> Judged:
    said = str(question.payload.get("go", ""))
    if said not in {"yes", "no"}:
        raise BadInput({"go": _("Say whether it passes")})
    words = _("Passes: %(go)s") if said == "yes" else _("Does not pass: %(go)s")
    kept = " ".join(str(question.payload.get("watch", "")).split())[:MOST_NAMES]
    watched = {"watch": kept} if kept and Proves.FIRE_WATCH in question.checkpoint.proves else {}
    return _plain(said == "yes", words % {"go": question.checkpoint.go}, {"go": said, **watched})


def _photo(question: Question) -> Judged:
    photo = str(question.payload.get("photo", ""))
    if not photo:
        raise BadInput({"photo": _("Take the photo first")})
    taken = _plain(True, _("Photo taken"), {"photo": photo})
    return replace(taken, decision={**taken.decision, "is_judged": False})


def _witness(question: Question) -> Judged:
    """The second person's own reading: inside of the same limits, and in agreement with the first."""
    if question.witnessed is None:
        raise BadInput({"value": _("There is no first reading to witness")})
    first, result = question.witnessed
    if first.kind == CheckpointKind.MARK:
        return judge_mark_again(question, first, result, _agree_within(question))
    if first.kind == CheckpointKind.POSITION:
        return judge_position_again(question, first, result, _agree_within(question))
    if "value" not in result.readings:
        return _witness_of_pair(question, first, result)
    limits = limits_of(first, question.settings)
    unit = limits.unit if limits else first.records
    value = question.quantity("value", unit)
    instrument = pick_instrument(question, [limits] if limits else [], [value])
    agreement = decide_agreement(
        read_back(result.readings["value"]),
        value,
        instrument.data,
        _agree_within(question),
    )
    readings = {"value": question.kept("value", value)}
    if limits is None:
        return Judged(
            agreement.verdict, words(agreement.explanation), readings, agreement.as_json(), instrument.row
        )
    own = decide(limits, instrument.data, value, instrument.rule)
    return Judged(
        worst(own.verdict, agreement.verdict),
        f"{words(own.explanation)} {words(agreement.explanation)}",
        readings,
        {"own": own.as_json(), "agreement": agreement.as_json()},
        instrument.row,
    )


def _plain(holds: bool, explanation: str, readings: dict[str, Any]) -> Judged:
    verdict = ResultVerdict.CONFORMS if holds else ResultVerdict.DOES_NOT_CONFORM
    return Judged(verdict, explanation, readings, {"explanation": explanation, "rule": None})


def _witness_of_pair(question: Question, first: Checkpoint, result: Result) -> Judged:
    """Both sides read a second time; the verdict is the worst of the pair's and of both agreements."""
    pair = _pair(Question(first, question.payload, question.on, question.settings))
    unit = read_back(result.readings["left"]).unit
    picked = pick_instrument(question, [], [question.quantity("left", unit)])
    agreements = {
        side: decide_agreement(
            read_back(result.readings[side]),
            question.quantity(side, unit),
            picked.data,
            _agree_within(question),
        )
        for side in ("left", "right")
    }
    explanations = [pair.explanation, *(words(a.explanation) for a in agreements.values())]
    return Judged(
        worst(pair.verdict, *(a.verdict for a in agreements.values())),
        " ".join(explanations),
        pair.readings,
        {"own": pair.decision, **{f"agreement_{s}": a.as_json() for s, a in agreements.items()}},
        pair.instrument,
    )


def _agree_within(question: Question) -> Quantity | None:
    """What the two readings may differ by; None takes the uncertainty of their difference."""
    limits = parsed(question.checkpoint.agree, question.settings)
    return limits.high if limits else None


JUDGES: Mapping[CheckpointKind, Callable[[Question], Judged]] = {
    CheckpointKind.DIMENSION: _dimension,
    CheckpointKind.PAIR: _pair,
    CheckpointKind.TORQUE: judge_torque,
    CheckpointKind.TORQUE_ANGLE: judge_torque_angle,
    CheckpointKind.WELD: _weld,
    CheckpointKind.COUNT: _count,
    CheckpointKind.FIT: _fit,
    CheckpointKind.PHOTO: _photo,
    CheckpointKind.WITNESS: _witness,
    CheckpointKind.POSITION: judge_position,
    CheckpointKind.MARK: judge_mark,
}
