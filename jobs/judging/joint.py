"""Judging what was tightened: what the wrench was set to, what of it arrived, what was done about it."""

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.judging.bolts import meaning_of, wrong_lubricant
from jobs.judging.castle_nuts import slot_of
from jobs.judging.instruments import Choice, pick_instrument
from jobs.judging.joints import Arriving, arriving_of
from jobs.judging.limits import limits_of, parsed
from jobs.judging.patterns import pattern_of
from jobs.judging.questions import Judged, Question, read_back, recorded, words, worst
from shop.engineering.decision import decide
from shop.engineering.joints.arriving import decide_joint
from shop.engineering.joints.derates import lowered_again
from shop.engineering.limits import Limits
from shop.engineering.quantities import Quantity


def judge_torque(question: Question) -> Judged:
    """A click wrench gives no reading: what it was set to, and that it clicked."""
    judged = _judge(question)
    meaning = meaning_of(question.checkpoint, _arrived(judged))
    return _with(judged, {"bolt": meaning} if meaning else {})


def judge_torque_angle(question: Question) -> Judged:
    """A torque, and then a turn that is read as an angle."""
    torque = _judge(question)
    limits = parsed(question.checkpoint.angle, question.settings)
    if limits is None:
        return torque
    angle = question.quantity("angle", limits.unit)
    instrument = pick_instrument(question, [limits], [angle], name="angle_instrument")
    turned = decide(limits, instrument.data, angle, instrument.rule)
    meaning = meaning_of(question.checkpoint, _arrived(torque), angle)
    return Judged(
        worst(torque.verdict, turned.verdict),
        f"{torque.explanation} {words(turned.explanation)}",
        {**torque.readings, "angle": question.kept("angle", angle)},
        {
            "torque": torque.decision,
            "angle": turned.as_json(),
            "rule": turned.as_json().get("rule"),
            **({"bolt": meaning} if meaning else {}),
        },
        torque.instrument,
        instrument.row,
    )


def _judge(question: Question) -> Judged:
    """The torque alone: everything confirmed, the setting taken to what arrived, the nut at its slot."""
    _require_confirmed(question)
    limits = limits_of(question.checkpoint, question.settings)
    unit = limits.unit if limits else question.checkpoint.records
    setting = question.quantity("value", unit)
    wrench = pick_instrument(question, [limits] if limits else [], [setting])
    arriving = arriving_of(question, wrench)
    readings = {"value": question.kept("value", setting), "clicked": True, **_told(question, arriving)}
    if limits is None:
        return recorded(readings, wrench.row)
    judged = _decided(question, limits, wrench, setting, arriving, readings)
    return _at_slot(question, _with(judged, pattern_of(question.checkpoint, limits)))


def _decided(
    question: Question,
    limits: Limits,
    wrench: Choice,
    setting: Quantity,
    arriving: Arriving,
    readings: dict[str, Any],
) -> Judged:
    _refuse_lowered_again(question, limits, setting, arriving)
    decision = decide_joint(
        limits,
        wrench.data,
        setting,
        wrench.rule,
        ratio=arriving.ratio,
        prevailing=arriving.prevailing,
    )
    said = words(decision.explanation)
    if arriving.sentence:
        said = f"{arriving.sentence} {said}"
    kept = {**decision.as_json(), "explanation": said, **arriving.as_json(setting)}
    return Judged(decision.verdict, said, readings, kept, wrench.row)


def _told(question: Question, arriving: Arriving) -> dict[str, Any]:
    """What was said at the joint beside the figure."""
    used = str(question.payload.get("used_lubricant", "")).strip()
    passes = {"passes": True} if question.checkpoint.pattern else {}
    return {**({"used_lubricant": used} if used else {}), **passes, **arriving.readings}


def _refuse_lowered_again(question: Question, limits: Limits, setting: Quantity, arriving: Arriving) -> None:
    """The figure of the card has its lubricant in it: whoever lowers it again is stopped."""
    figure, lubricant = limits.nominal, question.checkpoint.lubricant
    if figure is None or limits.low is None or not lubricant or arriving.is_changed:
        return
    if setting.value > 0 and setting.quanta < limits.low.quanta:
        warning = lowered_again(setting.quanta, figure.quanta, lubricant)
        if warning is not None:
            raise BadInput({"value": words(warning)})


def _at_slot(question: Question, judged: Judged) -> Judged:
    """A castle nut goes on to its slot after the figure, and no further than it may."""
    slot = slot_of(question)
    if slot is None:
        return judged
    said = f"{judged.explanation} {slot.sentence}"
    decision = {**judged.decision, "explanation": said, "slot": slot.as_json()}
    verdict = worst(judged.verdict, slot.verdict)
    return Judged(verdict, said, {**judged.readings, **slot.readings}, decision, judged.instrument)


def _arrived(judged: Judged) -> Quantity:
    """What arrived at the joint: what the wrench was set to, where nothing stood between."""
    reading = judged.decision.get("reading")
    return read_back(
        {"value": reading["exact"], "unit": reading["unit"]} if reading else judged.readings["value"]
    )


def _with(judged: Judged, more: Mapping[str, Any]) -> Judged:
    decision = {**judged.decision, **more}
    return Judged(
        judged.verdict,
        judged.explanation,
        judged.readings,
        decision,
        judged.instrument,
        judged.angle_instrument,
    )


def _require_confirmed(question: Question) -> None:
    """What makes a torque worth anything: lubricant as stated, new hardware where it is single-use."""
    checkpoint, errors = question.checkpoint, {}
    if not question.says_yes("clicked"):
        errors["clicked"] = _("Say that the wrench clicked or showed its figure")
    errors |= _lubricant_faults(question)
    if checkpoint.pattern and not question.says_yes("passes"):
        errors["passes"] = _("Say that all passes were made in their order")
    if checkpoint.is_single_use and not question.says_yes("new_hardware"):
        errors["new_hardware"] = _("This hardware is single-use; say that it is new")
    if errors:
        raise BadInput(errors)


def _lubricant_faults(question: Question) -> dict[str, str]:
    """The figure holds for one lubricant: another kind on the threads clamps otherwise."""
    asked, used = question.checkpoint.lubricant, str(question.payload.get("used_lubricant", "")).strip()
    wrong = wrong_lubricant(question.checkpoint, used) if asked and used else ""
    if wrong:
        return {"used_lubricant": wrong}
    if asked and not used and not question.says_yes("lubricant"):
        return {"lubricant": _("Say that it was done with: %(what)s") % {"what": asked}}
    return {}
