"""Sheets about welding and hot work: heat, fillets, plugs, steel, squareness, the fire watch."""

from collections.abc import Callable
from fractions import Fraction

from django.utils.translation import gettext as _

from shop.bench.sheets import Answer, Asked, Figure, Given, Sheet, length, plain, said
from shop.engineering.placing.squareness import skew_of_diagonals, twist_of_heights
from shop.engineering.quantities.figures import departure_text
from shop.engineering.quantities.measures import Dimension
from shop.engineering.welds.arc import ArcProcess, per_inch, run_heat
from shop.engineering.welds.fillets import least_leg, thin_sheet, throat
from shop.engineering.welds.hot_work import DEFERS, RULES, watch_rule
from shop.engineering.welds.plug_welds import (
    greatest_plug_hole,
    least_plug_hole,
    least_plug_spacing,
    plug_filling,
)
from shop.engineering.welds.steel_chemistry import ELEMENTS, carbon_equivalent, hardening_band
from shop.engineering.welds.strength import fillet_allowable, only_an_estimate

MM = 25.4
THIN = Fraction(1, 8)


def _heat(given: Given) -> Answer:
    process = ArcProcess(given.text("process"))
    speed = float(given.inches("travel")) * MM
    heat = run_heat(given.number("volts"), given.number("amperes"), speed, process)
    figures = (
        Figure(
            _("Arc energy"),
            f"{heat.arc_energy:.3f} kJ/mm",
            f"{per_inch(heat.arc_energy):.1f} kJ/in",
        ),
        Figure(
            _("Heat input"),
            f"{heat.heat_input:.3f} kJ/mm",
            f"{per_inch(heat.heat_input):.1f} kJ/in",
        ),
    )
    return Answer(
        figures,
        "E = 60 V I / (1000 v), Q = k E",
        "EN 1011-1",
        _("a steady arc; speed is the length welded in a minute"),
        sentence=said(heat.convention),
    )


def _fillet(given: Given) -> Answer:
    one, other = given.inches("one"), given.inches("other")
    rule = least_leg(one, other, cyclic=given.text("load") == "cyclic")
    figures = (
        length(_("Least leg"), rule.least),
        plain(_("Its throat"), throat(float(rule.least)), "in", places=3),
        plain(_("Allowable, E70, an inch of it"), fillet_allowable(70, float(rule.least)), "kip", places=2),
    )
    return Answer(
        figures,
        _("read from the table for the thinner part; throat = leg / √2"),
        said(rule.source),
        _("structural steel from 1/8 in, low-hydrogen processes"),
        cautions=(*(said(w) for w in rule.warnings), said(only_an_estimate())),
    )


def _plug(given: Given) -> Answer:
    thickness = given.inches("thickness")
    hole, fill = least_plug_hole(thickness), plug_filling(thickness)
    figures = (
        length(_("Hole, at least"), hole),
        length(_("Hole, at most"), greatest_plug_hole(thickness, fill)),
        length(_("Filled to"), fill),
        length(_("Centre to centre, at least"), least_plug_spacing(hole)),
    )
    return Answer(
        figures,
        _("thickness + 5/16 in, up to an odd sixteenth; spacing 4 holes"),
        "AISC 360 J2.3b, AWS D1.1",
        _("from 1/8 in"),
        cautions=(said(thin_sheet()),) if thickness < THIN else (),
    )


def _steel(given: Given) -> Answer:
    percent = {sign: given.number(sign) for sign in ELEMENTS if given.text(sign)}
    found = carbon_equivalent(percent)
    return Answer(
        (plain(_("Carbon equivalent"), found, "%", places=3),),
        "C + Mn/6 + (Cr + Mo + V)/5 + (Ni + Cu)/15",
        "EN 1011-2 (IIW)",
        _("a warning, never an approval: thickness, hydrogen and restraint decide"),
        sentence=said(hardening_band(found).words),
    )


def _square(given: Given) -> Answer:
    sides = [float(given.inches(name)) for name in ("long", "wide", "first", "second")]
    skew = skew_of_diagonals(*sides)
    return Answer(
        (
            Figure(_("Off square by"), departure_text(skew, 2, "°") or _("nothing")),
            plain(_("Over its width"), abs(sides[1] * skew / 57.2958), "in", places=3),
        ),
        "d1² − d2² = 4ab sin(skew)",
        _("law of cosines"),
        _("opposite sides equal"),
        sentence=_("Equal diagonals do not prove square: measure the width in front and behind as well."),
    )


def _twist(given: Given) -> Answer:
    heights = [float(given.inches(name)) for name in ("lf", "rf", "rr", "lr")]
    twist = twist_of_heights(heights)
    return Answer(
        (plain(_("Each corner is off the plane by"), abs(twist), "in", places=3),),
        "(LF − RF + RR − LR) / 4",
        _("least-squares plane"),
        _("the corners of a rectangle"),
        sentence=_("Left front and right rear are high.") if twist > 0 else "",
    )


def _watch(given: Given) -> Answer:
    rule = watch_rule(given.text("rule"))
    minutes = (
        _("no figure: a sufficient time") if rule.minutes is None else _("%(m)d min") % {"m": rule.minutes}
    )
    figures = [Figure(_("Watch after the last spark"), minutes)]
    if rule.monitoring_hours:
        more = _("up to %(h)d h more, as the permit says") % {"h": rule.monitoring_hours}
        figures.append(Figure(_("Monitoring"), more))
    if rule.distance_ft:
        figures.append(plain(_("What burns is cleared or shielded within"), rule.distance_ft, "ft", places=0))
    return Answer(
        tuple(figures),
        _("read from the rule"),
        str(rule),
        _("where this edition is in force"),
        sentence=_(DEFERS),
    )


def _lengths(*fields: tuple[str, str, str]) -> tuple[Asked, ...]:
    return tuple(Asked(name, label, Dimension.LENGTH, usual=usual) for name, label, usual in fields)


def _sheet(
    key: str, title: str, about: str, asked: tuple[Asked, ...], work: Callable[[Given], Answer]
) -> Sheet:
    return Sheet(key, title, about, asked, work)


def _welds() -> tuple[Sheet, ...]:
    processes = tuple((p.value, p.value) for p in ArcProcess)
    heat = (
        Asked("process", _("Process"), choices=processes, usual="GMAW"),
        Asked("volts", _("Volts"), is_number=True, usual="19"),
        Asked("amperes", _("Amperes"), is_number=True, usual="125"),
        Asked("travel", _("Welded in a minute"), Dimension.LENGTH, usual="12"),
    )
    loads = (("cyclic", _("again and again, as a car's")), ("static", _("at rest")))
    fillet = (
        *_lengths(("one", _("One part"), "1/8"), ("other", _("The other part"), "3/16")),
        Asked("load", _("Loaded"), choices=loads, usual="cyclic"),
    )
    steel = tuple(
        Asked(sign, sign, is_number=True, usual={"C": "0.2", "Mn": "0.8"}.get(sign, ""), may_be_empty=True)
        for sign in ELEMENTS
    )
    return (
        _sheet("arc_heat", _("Heat of a run"), _("Arc energy and heat input, side by side."), heat, _heat),
        _sheet("fillet", _("Fillet weld"), _("The least leg, its throat."), fillet, _fillet),
        _sheet(
            "plug", _("Plug weld"), _("Hole, filling and spacing."),
            _lengths(("thickness", _("Part with the hole"), "1/8")), _plug,
        ),
        _sheet("steel", _("Carbon equivalent"), _("How ready a steel is to harden."), steel, _steel),
    )  # fmt: skip


def sheets() -> tuple[Sheet, ...]:
    """The sheets of this part, in the language of the page."""
    square = _lengths(
        ("long", _("Length"), "60"), ("wide", _("Width"), "32"),
        ("first", _("One diagonal"), "68 1/8"), ("second", _("The other"), "67 7/8"),
    )  # fmt: skip
    corners = _lengths(
        ("lf", _("Left front"), "10"), ("rf", _("Right front"), "10 1/16"),
        ("rr", _("Right rear"), "10"), ("lr", _("Left rear"), "10 1/16"),
    )  # fmt: skip
    rules = tuple((code, str(rule)) for code, rule in RULES.items())
    return (
        *_welds(),
        _sheet("square", _("Diagonals"), _("How far a frame is off square."), square, _square),
        _sheet("twist", _("Four heights"), _("How far four corners are off one plane."), corners, _twist),
        _sheet(
            "fire_watch", _("Fire watch"), _("How long by which rule."),
            (Asked("rule", _("Rule"), choices=rules, usual="51B-2019"),), _watch,
        ),
    )  # fmt: skip
