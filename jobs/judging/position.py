"""Judging where a cradle stands: readings fitted, said in shop words, held to the limit of every point."""

import math
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.judging.cradle import Cradle, NamedReading
from jobs.judging.instruments import Choice, pick_instrument
from jobs.judging.limits import limits_of
from jobs.judging.questions import Judged, Question, read_back, said, words
from shop.engineering.decision.uncertainty import reading_variance
from shop.engineering.placing.advice import free_words, next_reading
from shop.engineering.placing.attitude import wheel_effects
from shop.engineering.placing.change import judge_place
from shop.engineering.placing.fit import Fit, fit_place
from shop.engineering.placing.words import movement_of, say_movement
from shop.engineering.quantities import QuantityError
from shop.engineering.quantities.measures import Quantity
from shop.engineering.words import Words

PREFIX = "r_"


def judge_position(question: Question) -> Judged:
    """The cradle's position from whatever was read of it."""
    cradle, limits = Cradle.of(question.checkpoint.frame), limits_of(question.checkpoint, question.settings)
    taken = {r.code: _quantity(question, cradle, r) for r in cradle.readings if _is_given(question, r)}
    if not taken:
        first = cradle.readings[0].code
        raise BadInput({f"{PREFIX}{first}": _("Enter what was read; what could not be read stays empty")})
    tape, level = _picked(question, cradle, taken)
    unsure = {
        code: _uncertainty(tape if q.unit != "°" else level, q) for code, q in taken.items()
    }  # fmt: skip
    try:
        fit = fit_place(cradle.with_uncertainty(unsure), {code: in_fit(q) for code, q in taken.items()})
        within = float(limits.high.to("mm").value) if limits and limits.high else 0.0
        verdict = judge_place(fit, within)
    except QuantityError as error:
        raise BadInput({f"{PREFIX}{next(iter(taken))}": said(error)}) from error
    decision = _decision(question, cradle, fit, unsure)
    kept = {code: question.kept(f"{PREFIX}{code}", q) for code, q in taken.items()}
    picked = [choice.row if choice else None for choice in (tape, level)]
    return Judged(verdict.value, decision["explanation"], {"position": kept}, decision, *picked)


def fit_of(frame: Mapping[str, Any], readings: Mapping[str, Any], decision: Mapping[str, Any]) -> Fit:
    """The fit of a result again, from what was kept of it."""
    taken = {code: in_fit(read_back(kept)) for code, kept in readings["position"].items()}
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


def _decision(question: Question, cradle: Cradle, fit: Fit, unsure: Mapping[str, float]) -> dict[str, Any]:
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
        "uncertainty": dict(unsure),
        "shift_mm": [round(x, 4) for x in fit.shift],
        "angles_deg": [round(x, 5) for x in (roll, pitch, yaw)],
        "residuals": {r.code: round(r.off, 4) for r in fit.residuals},
        "effects": _effects(cradle, (roll, pitch, yaw)),
    }


def _effects(cradle: Cradle, angles: tuple[float, float, float]) -> str:
    """What it does to the wheels, to first order."""
    if cradle.track_mm is None:
        return ""
    found = wheel_effects(*angles, track_mm=cradle.track_mm)
    return _(
        "Adds to caster %(caster)+.2f°, to camber left %(left)+.2f°, right %(right)+.2f°; left wheel "
        "set back %(back)+.1f mm (to first order)"
    ) % {
        "caster": round(found.caster_left, 2) + 0.0,
        "left": round(found.camber_left, 2) + 0.0,
        "right": round(found.camber_right, 2) + 0.0,
        "back": round(found.set_back_mm, 1) + 0.0,
    }


def _sentence(text: str | Words) -> str:
    return f"{text[:1].upper()}{text[1:]}."
