"""Sheets about measuring: one figure in all units, a limit read, a decision."""

from django.utils.translation import gettext as _

from shop.bench.drawings import draw_decision
from shop.bench.sheets import Answer, Asked, Figure, Given, Sheet, said
from shop.engineering.decision import ISO_14253_95, RULES, InstrumentData, decide
from shop.engineering.decision.repeated import Reading, decide_repeated
from shop.engineering.limits import parse_limits
from shop.engineering.quantities.measures import UNITS, Dimension, Quantity, from_quanta
from shop.engineering.quantities.reader import parse_quantity
from shop.engineering.quantities.writer import both, format_feet, format_minutes, format_quantity, rounded


def _figure(given: Given) -> Answer:
    q: Quantity = given.read("figure", lambda text: parse_quantity(text, default_unit="in"))
    figures = [Figure(_("In %(unit)s") % {"unit": unit}, rounded(q, unit)) for unit in _units_of(q.dimension)]
    if q.dimension is Dimension.LENGTH:
        for parts in (16, 32, 64):
            label = _("To the nearest 1/%(parts)d") % {"parts": parts}
            figures.append(Figure(label, format_quantity(q, unit="in", fraction=parts)))
        figures.append(Figure(_("In feet and inches, to 1/16"), format_feet(q)))
    if q.dimension is Dimension.ANGLE:
        figures.append(Figure(_("In degrees and minutes"), format_minutes(q)))
    return Answer(
        tuple(figures),
        _("exact ratios; ties go away from nothing, as at the tape"),
        "NIST SP 811",
        _("any figure of a length, torque, angle, force, pressure, rate or mass"),
    )


def _units_of(dimension: Dimension) -> list[str]:
    return [name for name, (known, _size) in UNITS.items() if known is dimension]


def _limit(given: Given) -> Answer:
    limits = given.read("limit", parse_limits)
    ends = [(_("From"), limits.low), (_("To"), limits.high), (_("Nominal"), limits.nominal)]
    return Answer(
        tuple(Figure(label, *both(end)) for label, end in ends if end is not None),
        _("nominal with limits, one-sided, or from … to"),
        _("our own spelling; ISO 129 writes limits alike"),
        _("29 1/2 ±1/16 in, 65 +5 −0 lbf·ft, ≤ 1/8 in, 14…16 in"),
    )


def _decide(given: Given) -> Answer:
    limits = given.read("limit", parse_limits)
    unit = limits.unit
    reading: Quantity = given.read("reading", lambda text: parse_quantity(text, default_unit=unit))
    step: Quantity = given.read("step", lambda text: parse_quantity(text, default_unit=unit))
    error: Quantity = given.read("error", lambda text: parse_quantity(text, default_unit=unit))
    instrument = InstrumentData(_("it"), "", limits.dimension, resolution=step, permissible_error=error)
    decision = given.read(
        "reading", lambda _text: decide(limits, instrument, reading, RULES[given.text("rule")])
    )
    probability = decision.probability
    return Answer(
        (Figure(_("Chance that it lies inside"), f"{100 * probability:.1f} %"),),
        _("U = 2 √(error²/3 + step²/12); conforms inside of the limits by the guard band"),
        f"{given.text('rule')}, JCGM 106",
        _("one reading with one instrument"),
        sentence=said(decision.explanation),
        drawing=draw_decision(decision),
    )


def _again(given: Given) -> Answer:
    limits = given.read("limit", parse_limits)
    unit = limits.unit

    def all_of(text: str) -> list[Quantity]:
        return [parse_quantity(each, default_unit=unit) for each in text.split(";")]

    values: list[Quantity] = given.read("readings", all_of)
    step: Quantity = given.read("step", lambda text: parse_quantity(text, default_unit=unit))
    error: Quantity = given.read("error", lambda text: parse_quantity(text, default_unit=unit))
    instrument = InstrumentData(_("it"), "", limits.dimension, resolution=step, permissible_error=error)
    decision = given.read(
        "readings",
        lambda _text: decide_repeated(limits, [Reading(q, instrument) for q in values], ISO_14253_95),
    )
    expanded = from_quanta(decision.thresholds.expanded_uncertainty, unit)
    return Answer(
        (
            Figure(_("Together"), *both(decision.together.value)),
            Figure(_("May be off by (k = 2)"), f"±{rounded(expanded)}"),
        ),
        _("u² = error²/3 + step²/(12 n): the eye averages out, the instrument's own error does not"),
        "GUM 5.1.2, ISO 14253-1",
        _("one instrument; all readings that were taken, none left out"),
        sentence=f"{said(decision.explanation)}.",
    )


def _figure_sheet() -> Sheet:
    return Sheet(
        "figure",
        _("One figure, every unit"),
        _("As it is written on the tape, the sheet or the certificate."),
        (
            Asked(
                "figure",
                _("Figure"),
                usual="29 1/2 in",
                hint=_("29 1/2 in, 749.3 mm, 65 lbf·ft, −0° 45′"),
            ),
        ),
        _figure,
    )


def _limit_sheet() -> Sheet:
    return Sheet(
        "limit",
        _("A limit, read"),
        _("What an instruction's limit means."),
        (Asked("limit", _("Limit"), usual="29 1/2 ±1/16 in"),),
        _limit,
    )


def _decide_sheet() -> Sheet:
    return Sheet(
        "decide",
        _("Does it conform?"),
        _("With what the instrument may be off."),
        (
            Asked("limit", _("Limit"), usual="29 1/2 ±1/16 in"),
            Asked("reading", _("Reading"), usual="29 17/32"),
            Asked("step", _("The instrument shows steps of"), usual="1/32 in"),
            Asked("error", _("It may be off by"), usual="1/32 in"),
            Asked(
                "rule",
                _("Rule"),
                choices=tuple((name, name) for name in RULES),
                usual=ISO_14253_95.name,
            ),
        ),
        _decide,
    )


def _again_sheet() -> Sheet:
    return Sheet(
        "again",
        _("Read again"),
        _("Several readings with one instrument, by different people, together."),
        (
            Asked("limit", _("Limit"), usual="29 1/2 ±1/16 in"),
            Asked("readings", _("Readings"), usual="29 17/32; 29 1/2", hint=_("with ; between them")),
            Asked("step", _("The instrument shows steps of"), usual="1/32 in"),
            Asked("error", _("It may be off by"), usual="1/32 in"),
        ),
        _again,
    )


def sheets() -> tuple[Sheet, ...]:
    """The sheets of this part, in the language of the page."""
    return (_figure_sheet(), _limit_sheet(), _decide_sheet(), _again_sheet())
