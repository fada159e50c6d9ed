"""Sheets about what an instrument can prove, and about left and right."""

from collections.abc import Callable
from fractions import Fraction

from django.utils.translation import gettext as _

from shop.bench.sheets import Answer, Asked, Figure, Given, Sheet, said
from shop.engineering.decision import ISO_14253_95, RULES, InstrumentData
from shop.engineering.decision.capability import can_prove
from shop.engineering.decision.pairs import decide_pair
from shop.engineering.limits import Limits, parse_limits
from shop.engineering.quantities.measures import Quantity, from_quanta
from shop.engineering.quantities.reader import parse_quantity
from shop.engineering.quantities.writer import both, brief, rounded


def _in(unit: str) -> Callable[[str], Quantity]:
    return lambda text: parse_quantity(text, default_unit=unit).to(unit)


def _instrument(given: Given, limits: Limits) -> InstrumentData:
    step, error = (given.read(name, _in(limits.unit)) for name in ("step", "error"))
    return InstrumentData(_("it"), "", limits.dimension, resolution=step, permissible_error=error)


def _prove(given: Given) -> Answer:
    limits: Limits = given.read("limit", parse_limits)
    instrument = _instrument(given, limits)
    found = can_prove(limits, instrument, RULES[given.text("rule")])
    expanded = from_quanta(found.thresholds.expanded_uncertainty if found.thresholds else 0, limits.unit)
    figures = [Figure(_("May be off by (k = 2)"), f"±{rounded(expanded)}")]
    if found.ratio is not None:
        figures.insert(0, Figure(_("Capability ratio"), f"{float(found.ratio):.1f}"))
    sentence = said(found.sentence)
    would_do = _(" What reads to about %(error)s would do.") % {"error": _finer(limits)}
    return Answer(
        tuple(figures),
        "Cm = T / (2 U)",
        f"JCGM 106, {given.text('rule')}",
        _("limits on both sides for the ratio; it is provable from 1.96 on at 95 %"),
        sentence=f"{sentence[:1].upper()}{sentence[1:]}{'' if found.provable else would_do}",
    )


def _finer(limits: Limits) -> str:
    """A quarter of the zone in error and step, which leaves room on both sides; a tenth where it is open."""
    if limits.low is None or limits.high is None:
        return _("a tenth of it")
    return brief(Quantity((limits.high.value - limits.low.value) / Fraction(8), limits.unit))


def _pair(given: Given) -> Answer:
    each: Limits | None = given.read("limit", parse_limits) if given.text("limit") else None
    equal: Limits = given.read("equal", parse_limits)
    instrument = _instrument(given, equal)
    left, right = (given.read(name, _in(equal.unit)) for name in ("left", "right"))
    decision = given.read(
        "left", lambda _text: decide_pair(each, equal, instrument, left, right, ISO_14253_95)
    )
    difference = decision.difference
    assert difference is not None  # a limit of equality was given
    expanded = from_quanta(difference.thresholds.expanded_uncertainty, equal.unit)
    return Answer(
        (
            Figure(_("Left less right"), *both(difference.value)),
            Figure(_("The difference may be off by (k = 2)"), f"±{rounded(expanded)}"),
        ),
        "u² = u²(left) + u²(right)",
        f"GUM 5.1.2, {ISO_14253_95.name}",
        _("both read with one instrument; what the two have in common would cancel"),
        sentence=said(decision.explanation),
    )


def _of_instrument() -> tuple[Asked, Asked]:
    return (
        Asked("step", _("The instrument shows steps of"), usual="1/32 in"),
        Asked("error", _("It may be off by"), usual="1/32 in"),
    )


def sheets() -> tuple[Sheet, ...]:
    """The sheets of this part, in the language of the page."""
    rules = tuple((name, name) for name in RULES)
    return (
        Sheet(
            "prove",
            _("Can it prove the limit?"),
            _("What an instrument can prove before anything is read."),
            (
                Asked("limit", _("Limit"), usual="29 1/2 ±1/8 in"),
                *_of_instrument(),
                Asked("rule", _("Rule"), choices=rules, usual=ISO_14253_95.name),
            ),
            _prove,
        ),
        Sheet(
            "pair",
            _("Left and right alike"),
            _("A difference has the larger uncertainty of two readings."),
            (
                Asked("left", _("Left"), usual="2 11/16"),
                Asked("right", _("Right"), usual="2 23/32"),
                Asked("equal", _("Alike within"), usual="≤ 1/8 in"),
                Asked("limit", _("Each within"), may_be_empty=True, hint=_("where the sides have a limit")),
                *_of_instrument(),
            ),
            _pair,
        ),
    )
