"""Judging where a cradle stands: readings fitted, said in shop words, held to the limit of every point."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.judging.cradle import Cradle, NamedReading
from jobs.judging.instruments import Choice, pick_instrument
from jobs.judging.limits import limits_of
from jobs.judging.questions import Judged, Question, read_back, said, words, worst
from jobs.models import Checkpoint, Result, ResultVerdict
from shop.engineering.decision.uncertainty import reading_variance
from shop.engineering.placing.advice import free_words, next_reading
from shop.engineering.placing.attitude import wheel_effects
from shop.engineering.placing.change import judge_place
from shop.engineering.placing.fit import Fit, fit_place
from shop.engineering.placing.words import movement_of, say_movement
from shop.engineering.quantities import QuantityError
from shop.engineering.quantities.figures import departure_text
from shop.engineering.quantities.measures import Quantity
from shop.engineering.words import Words

PREFIX = "r_"
# Readings further apart than this many standard uncertainties of their difference are not of one position.
ALIKE = 3.0


@dataclass(frozen=True)
class Taken:
    """The readings of a position as they go into its fit: millimetres or degrees, standard uncertainties.

    earlier: the results that count beside the newest.
    """

    values: dict[str, float]
    unsure: dict[str, float]
    earlier: tuple[int, ...] = ()


def judge_position(question: Question) -> Judged:
    """The cradle's position from whatever was read of it, with what was read of it before and still holds."""
    cradle, limits = Cradle.of(question.checkpoint.frame), limits_of(question.checkpoint, question.settings)
    taken = {r.code: _quantity(question, cradle, r) for r in cradle.readings if _is_given(question, r)}
    if not taken:
        first = cradle.readings[0].code
        raise BadInput({f"{PREFIX}{first}": _("Enter what was read; what could not be read stays empty")})
    tape, level = _picked(question, cradle, taken)
    unsure = {
        code: _uncertainty(tape if q.unit != "°" else level, q) for code, q in taken.items()
    }  # fmt: skip
    every = with_earlier(Taken({c: in_fit(q) for c, q in taken.items()}, unsure), question.earlier)
    try:
        fit = fit_place(cradle.with_uncertainty(every.unsure), every.values)
        within = float(limits.high.to("mm").value) if limits and limits.high else 0.0
        verdict = judge_place(fit, within)
    except QuantityError as error:
        raise BadInput({f"{PREFIX}{next(iter(taken))}": said(error)}) from error
    decision = _decision(question, cradle, fit, every)
    kept = {code: question.kept(f"{PREFIX}{code}", q) for code, q in taken.items()}
    picked = [choice.row if choice else None for choice in (tape, level)]
    return Judged(verdict.value, decision["explanation"], {"position": kept}, decision, *picked)


def with_earlier(newest: Taken, earlier: Sequence[Result]) -> Taken:
    """Readings of the same position taken before count too, if nothing says that it was moved meanwhile.

    Each reading that was taken twice must be alike, and one at least must have been. What an instrument is
    off does not average out, so that the mean keeps the smaller uncertainty of the two.
    """
    values, unsure, counted = dict(newest.values), dict(newest.unsure), []
    times = dict.fromkeys(values, 1)
    for result in earlier:
        before = {code: in_fit(read_back(kept)) for code, kept in result.readings["position"].items()}
        spread = result.decision["uncertainty"]
        both = before.keys() & newest.values.keys()
        if not both or any(
            abs(before[c] - newest.values[c]) > ALIKE * math.hypot(spread[c], newest.unsure[c]) for c in both
        ):
            continue
        counted.append(result.pk)
        for code, value in before.items():
            times[code] = times.get(code, 0) + 1
            values[code] = values.get(code, value) + (value - values.get(code, value)) / times[code]
            unsure[code] = min(unsure.get(code, spread[code]), spread[code])
    return Taken(values, unsure, tuple(counted))


def judge_position_again(
    question: Question, first: Checkpoint, result: Result, agree: Quantity | None
) -> Judged:
    """A second person's own readings: fitted by themselves, and each in agreement with the first.

    Raises:
        BadInput: as `judge_position` does.
    """
    own = judge_position(Question(first, question.payload, question.on, question.settings))
    names = {r.code: r.label for r in Cradle.of(first.frame).readings}
    theirs, mine = result.readings["position"], own.readings["position"]
    both = [code for code in mine if code in theirs]
    apart = [code for code in both if not _agree(theirs[code], mine[code], code, result, own, agree)]
    told = [_("%(name)s: the two do not agree") % {"name": names[code]} for code in apart]
    if not both:
        told = [_("None of these was read by the first person: read the same ones")]
    verdict = own.verdict
    if apart:
        verdict = str(ResultVerdict.DOES_NOT_CONFORM)
    elif not both:
        verdict = worst(own.verdict, ResultVerdict.TOO_CLOSE)
    explanation = " ".join([own.explanation, *(told or [_("Both persons read the same.")])])
    decision = {**own.decision, "explanation": explanation, "apart": apart, "both": both}
    return replace(own, verdict=verdict, explanation=explanation, decision=decision)


def _agree(
    one: Mapping[str, str], other: Mapping[str, str], code: str, first: Result, own: Judged,
    agree: Quantity | None,
) -> bool:  # fmt: skip
    """Within what is stated for lengths, else within what both may be off together, 2u."""
    apart = abs(in_fit(read_back(one)) - in_fit(read_back(other)))
    if agree is not None and read_back(one).unit != "°":
        return apart <= float(agree.to("mm").value) + 1e-9
    return apart <= 2 * math.hypot(first.decision["uncertainty"][code], own.decision["uncertainty"][code])


def fit_of(frame: Mapping[str, Any], readings: Mapping[str, Any], decision: Mapping[str, Any]) -> Fit:
    """The fit of a result again, from what was kept of it."""
    taken = decision.get("fitted") or {
        code: in_fit(read_back(kept)) for code, kept in readings["position"].items()
    }
    return fit_place(Cradle.of(frame).with_uncertainty(decision["uncertainty"]), taken)


def in_fit(q: Quantity) -> float:
    """Millimetres, or degrees."""
    return float(q.value) if q.unit == "°" else float(q.to("mm").value)


def stands_words(fit: Fit, system: str) -> list[tuple[str, str]]:
    """How a cradle stands and what brings it back, in the language of the page."""
    found = say_movement(movement_of(fit), system="metric" if system == "metric" else "inch")
    return [(words(one.stands), words(one.move)) for one in found]


def _is_given(question: Question, reading: NamedReading) -> bool:
    return bool(str(question.payload.get(f"{PREFIX}{reading.code}", "")).strip())


def _quantity(question: Question, cradle: Cradle, reading: NamedReading) -> Quantity:
    return question.quantity(f"{PREFIX}{reading.code}", cradle.unit_of(reading.asked))


def _picked(
    question: Question, cradle: Cradle, taken: Mapping[str, Quantity]
) -> tuple[Choice | None, Choice | None]:
    lengths = [q for q in taken.values() if q.unit != "°"]
    angles = [q for q in taken.values() if q.unit == "°"]
    tape = pick_instrument(question, [], lengths) if lengths else None
    level = pick_instrument(question, [], angles, name="angle_instrument") if angles else None
    return tape, level


def _uncertainty(choice: Choice | None, q: Quantity) -> float:
    """Standard, millimetres or degrees."""
    if choice is None:
        return 1.0
    one = Quantity(Fraction(1), "°" if q.unit == "°" else "mm")
    return math.sqrt(reading_variance(choice.data, q.quanta)) / float(one.quanta)


def _decision(question: Question, cradle: Cradle, fit: Fit, taken: Taken) -> dict[str, Any]:
    """What the verdict stands on, and what is said of it."""
    stands = stands_words(fit, question.settings.units)
    names = {reading.code: reading.label for reading in cradle.readings}
    sentences = [_sentence(", ".join(s for s, _move in stands))] if stands else []
    if stands:
        sentences.append(_("To put it right: %(moves)s.") % {"moves": "; ".join(m for _s, m in stands)})
    elif fit.is_pinned:
        sentences.append(_("It stands where it should, as far as these readings can tell."))
    if fit.doubted:
        doubted = _(" or ").join(names[code] for code in fit.doubted)
        sentences.append(_("%(names)s does not agree with the rest: read it again.") % {"names": doubted})
    open_words = free_words(fit)
    missing = next_reading(cradle.frame, [r.code for r in fit.residuals])
    if open_words is not None:
        sentences.append(f"{words(open_words)}.")
        if missing:
            sentences.append(_("Measure next: %(name)s.") % {"name": names[missing[0][0]]})
    roll, pitch, yaw = fit.angles_deg
    return {
        "explanation": " ".join(sentences),
        "rule": None,
        "limits": question.checkpoint.limit,
        "stands": [s for s, _move in stands],
        "moves": [m for _s, m in stands],
        "doubted": list(fit.doubted),
        "next": missing[0][0] if missing else "",
        "uncertainty": dict(taken.unsure),
        **_earlier(taken),
        "shift_mm": [round(x, 4) for x in fit.shift],
        "angles_deg": [round(x, 5) for x in (roll, pitch, yaw)],
        "residuals": {r.code: round(r.off, 4) for r in fit.residuals},
        "effects": _effects(cradle, (roll, pitch, yaw)),
    }


def _earlier(taken: Taken) -> dict[str, Any]:
    """What the fit was made of where earlier readings count too."""
    if not taken.earlier:
        return {}
    return {
        "fitted": {code: round(value, 6) for code, value in taken.values.items()},
        "together": {"earlier": [{"result": key} for key in taken.earlier]},
    }


def _effects(cradle: Cradle, angles: tuple[float, float, float]) -> str:
    """What it does to the wheels, to first order."""
    if cradle.track_mm is None:
        return ""
    found = wheel_effects(*angles, track_mm=cradle.track_mm)
    angles_off = (
        (_("to caster"), found.caster_left),
        (_("to camber left"), found.camber_left),
        (_("to camber right"), found.camber_right),
    )
    added = [f"{name} {off}" for name, angle in angles_off if (off := departure_text(angle, 2, "°"))]
    back = departure_text(found.set_back_mm, 1, " mm")
    said = [_("adds %(what)s") % {"what": ", ".join(added)}] if added else []
    said += [_("left wheel set back %(back)s") % {"back": back}] if back else []
    text = "; ".join(said) or _("adds nothing to caster, camber or set-back")
    return _("%(what)s (to first order)") % {"what": f"{text[:1].upper()}{text[1:]}"}


def _sentence(text: str | Words) -> str:
    return f"{text[:1].upper()}{text[1:]}."
