"""Sheets about threaded joints: what a torque does, what a turn does, wrenches and their checks."""

import math
from fractions import Fraction

from django.utils.translation import gettext as _

from shop.bench.sheets import Answer, Asked, Figure, Given, Sheet, length, plain, said, torque
from shop.engineering.joints.castle import castle_nut
from shop.engineering.joints.engagement import least_in_steel
from shop.engineering.joints.grades import (
    Strength,
    proof_load_n,
    strength_of,
    tensile_load_n,
    yield_load_n,
)
from shop.engineering.joints.stiffness import STEEL_MPA, after_turning, bolt_stiffness, member_stiffness
from shop.engineering.joints.threads import INCH_MM, Thread, parse_thread
from shop.engineering.joints.tightening import NUT_FACTORS, Finish, clamp_load, lubricant_warning
from shop.engineering.joints.wrenches import (
    check_tool,
    setting_for,
    setting_with_prevailing,
    staged_passes,
    tightening_order,
)
from shop.engineering.quantities.measures import Dimension

LBF_N = 4.4482216152605
FINISHES = tuple((finish.value, finish.value) for finish in Finish)


def _instruction() -> str:
    return _(
        "The kit maker's figure is the instruction. This explains what it does; structural, steering and "
        "brake joints belong to qualified people."
    )


def _bolt(given: Given) -> tuple[Thread, Strength]:
    thread: Thread = given.read("thread", parse_thread)
    strength: Strength = given.read("grade", lambda text: strength_of(text, thread))
    return thread, strength


def _load(label: str, newtons: float) -> Figure:
    return Figure(label, f"{newtons / LBF_N:,.0f} lbf", f"{newtons / 1000:.1f} kN")


def _strength(given: Given) -> Answer:
    thread, strength = _bolt(given)
    area = Figure(_("Stress area"), f"{thread.stress_area_in2:.4f} in²", f"{thread.stress_area_mm2:.1f} mm²")
    engaged = least_in_steel(float(thread.major_in))
    return Answer(
        (
            area,
            _load(_("Proof load"), proof_load_n(thread, strength)),
            _load(_("Yield load"), yield_load_n(thread, strength)),
            _load(_("Tensile load, at least"), tensile_load_n(thread, strength)),
            length(_("Engaged in steel, at least"), Fraction(engaged).limit_denominator(1000)),
        ),
        "π/4 (d − 0.9743/n)²; π/4 (d − 0.938194 P)²; × S",
        strength.source,
        _("1/4 to 1 1/2 in, M3 to M39"),
        cautions=(_instruction(),),
    )


def _clamp(given: Given) -> Answer:
    thread, strength = _bolt(given)
    figure, finish = given.newton_metres("torque"), Finish(given.text("finish"))
    clamp = clamp_load(figure, thread, strength, finish)
    asked = Finish(given.text("asked")) if given.text("asked") else finish
    warning = lubricant_warning(asked.value, finish.value)
    factor = NUT_FACTORS[finish]
    return Answer(
        (
            Figure(
                _("Clamps with"),
                f"{clamp.low_n / LBF_N:,.0f} … {clamp.high_n / LBF_N:,.0f} lbf",
                f"{clamp.low_n / 1000:.1f} … {clamp.high_n / 1000:.1f} kN",
            ),
            Figure(_("Of the proof load"), f"{clamp.low_percent:.0f} … {clamp.high_percent:.0f} %"),
        ),
        f"F = T / (K D), K = {factor.low:g} … {factor.high:g}",
        _("Shigley 8-27; K: %(source)s") % {"source": factor.source},
        _("torque control, up to yield; at least ±25 % of scatter is in the range"),
        sentence=f"{said(clamp.sentence)}.",
        cautions=(*((f"{said(warning)}.",) if warning else ()), _instruction()),
    )


def _turn(given: Given) -> Answer:
    thread, strength = _bolt(given)
    finish, grip = Finish(given.text("finish")), given.inches("grip") * INCH_MM
    snug = clamp_load(given.newton_metres("torque"), thread, strength, finish)
    shank = math.pi / 4 * float(thread.major_mm) ** 2
    half = float(grip) / 2
    bolt = bolt_stiffness(shank, half, thread.stress_area_mm2, half, STEEL_MPA)
    members = member_stiffness(STEEL_MPA, float(thread.major_mm), float(grip))
    degrees = float(given.quantity("angle").to("°").value)
    turned = after_turning(snug, thread, strength, degrees, bolt=bolt, members=members)
    return Answer(
        (
            _load(_("The turn alone adds, if elastic"), turned.turn_n),
            _load(_("Yield load"), turned.yield_n),
            plain(_("Beyond the elastic limit, at most"), turned.beyond_mm, "mm", places=2),
        ),
        "P θ/360 × 1/(1/kb + 1/km)",
        _("Shigley 8-17 and 8-22 for kb and km, half shank and half thread in the grip, steel on steel"),
        _("from snug; while the parts lie flat on each other"),
        sentence=f"{said(turned.sentence)}.",
        cautions=(_instruction(),),
    )


def _castle(given: Given) -> Answer:
    most = float(given.quantity("most").to("°").value) if given.text("most") else None
    words = castle_nut(float(given.quantity("turn").to("°").value), turned_max_deg=most)
    return Answer(
        (),
        _("forward to the next slot, never back"),
        _("common practice, no source; the kit maker's figure comes first"),
        _("six slots"),
        sentence=f"{said(words)}.",
    )


def _setting(given: Given) -> Answer:
    figure = given.newton_metres("figure")
    prevailing = given.newton_metres("prevailing") if given.text("prevailing") else 0.0
    wanted = setting_with_prevailing(figure, prevailing)
    lever, extension = float(given.inches("lever")), float(given.inches("extension"))
    degrees = float(given.quantity("angle").to("°").value)
    return Answer(
        (torque(_("Set"), setting_for(wanted, lever, extension, degrees=degrees)),),
        "(T + Tp) × L / (L + e cos a)",
        _("lever rule; prevailing torque added as in US Army TM 1-1500-204-23-6"),
        _("the hand at the mark of the grip; nothing changes at 90°"),
    )


def _tool(given: Given) -> Answer:
    found = check_tool(
        given.newton_metres("set"), given.newton_metres("read"), maximum_nm=given.newton_metres("maximum")
    )
    good = (
        _("The tool is good.")
        if found.passes
        else _("The tool is not good: take it out of use, and look at every joint since its last good check.")
    )
    return Answer(
        (
            plain(_("Deviation"), 100 * found.deviation, "%", places=2),
            plain(_("May be"), 100 * found.permitted, "% ±", places=0),
        ),
        "(set − reference) / reference",
        _("ISO 6789-1:2017 (from memory): 4 %, or 6 % with a maximum to 10 N·m"),
        _("setting and indicating tools; every 12 months or 5000 cycles"),
        sentence=good,
    )


def _pattern(given: Given) -> Answer:
    order = tightening_order(given.whole("bolts"))
    passes = [torque("", each) for each in staged_passes(given.newton_metres("torque"))]
    round_ = " – ".join(str(bolt) for bolt in order)
    return Answer(
        (),
        _("each next as far as can be from those before"),
        _("common practice, no source; the kit maker's order comes first"),
        _("1 to 40 bolts on a circle"),
        steps=tuple(f"{each.text} ({each.also}): {round_}" for each in passes),
    )


def _thread_field() -> Asked:
    return Asked("thread", _("Thread"), usual="1/2-13", hint=_("3/8-16 or M12x1.75"))


def _grade_field() -> Asked:
    return Asked("grade", _("Grade or class"), usual="8", hint=_("5, 8, 8.8, 10.9 …"))


def _figure_field() -> Asked:
    return Asked("torque", _("Torque"), Dimension.TORQUE, usual="65")


def _finish_field() -> Asked:
    return Asked("finish", _("On the threads"), choices=FINISHES, usual=Finish.OILED)


def _bolt_sheet() -> Sheet:
    return Sheet("bolt", _("Bolt"), _("What a bolt bears."), (_thread_field(), _grade_field()), _strength)


def _clamp_sheet() -> Sheet:
    return Sheet(
        "clamp",
        _("Torque to clamp load"),
        _("A range, never one number."),
        (
            _thread_field(),
            _grade_field(),
            _figure_field(),
            _finish_field(),
            Asked("asked", _("The figure was given for"), choices=FINISHES, may_be_empty=True),
        ),
        _clamp,
    )


def _turn_sheet() -> Sheet:
    return Sheet(
        "turn",
        _("Torque plus angle"),
        _("What the last turn does to the bolt."),
        (
            Asked("thread", _("Thread"), usual="1/2-20"),
            _grade_field(),
            Asked("torque", _("Torque first"), Dimension.TORQUE, usual="20"),
            Asked("angle", _("then turned by"), Dimension.ANGLE, usual="180"),
            Asked("grip", _("Grip"), Dimension.LENGTH, usual="1 1/2", hint=_("thickness that is clamped")),
            _finish_field(),
        ),
        _turn,
    )


def _castle_sheet() -> Sheet:
    return Sheet(
        "castle",
        _("Castle nut"),
        _("To the cotter pin's hole."),
        (
            Asked("turn", _("Forward to the next slot"), Dimension.ANGLE, usual="20"),
            Asked("most", _("The instruction allows"), Dimension.ANGLE, may_be_empty=True),
        ),
        _castle,
    )


def _setting_sheet() -> Sheet:
    return Sheet(
        "setting",
        _("Wrench setting"),
        _("Through an extension or crowfoot, on a self-locking nut."),
        (
            Asked("figure", _("Figure at the nut"), Dimension.TORQUE, usual="65"),
            Asked("prevailing", _("Prevailing torque"), Dimension.TORQUE, may_be_empty=True),
            Asked("lever", _("Hand to square"), Dimension.LENGTH, usual="18"),
            Asked("extension", _("Square to nut"), Dimension.LENGTH, usual="2"),
            Asked("angle", _("Angle between"), Dimension.ANGLE, usual="0"),
        ),
        _setting,
    )


def _tool_sheet() -> Sheet:
    return Sheet(
        "tool",
        _("Torque-tool check"),
        _("Against a tester."),
        (
            Asked("set", _("Set to"), Dimension.TORQUE, usual="65"),
            Asked("read", _("The tester read"), Dimension.TORQUE, usual="66"),
            Asked("maximum", _("Largest on its scale"), Dimension.TORQUE, usual="150"),
        ),
        _tool,
    )


def _pattern_sheet() -> Sheet:
    return Sheet(
        "pattern",
        _("Order of a pattern"),
        _("In passes, across the circle."),
        (Asked("bolts", _("Bolts"), usual="6", is_number=True), _figure_field()),
        _pattern,
    )


def sheets() -> tuple[Sheet, ...]:
    """The sheets of this part, in the language of the page."""
    return (
        _bolt_sheet(),
        _clamp_sheet(),
        _turn_sheet(),
        _castle_sheet(),
        _setting_sheet(),
        _tool_sheet(),
        _pattern_sheet(),
    )
