"""Sheets about bolts: what they bear, what a torque does, what a turn does, a figure lowered once."""

import math
from fractions import Fraction

from django.utils.translation import gettext as _

from shop.bench.drawings import draw_clamp
from shop.bench.sheets import Answer, Asked, Figure, Given, Sheet, length, plain, said, torque
from shop.engineering.errors import QuantityError
from shop.engineering.joints.engagement import least_in_steel
from shop.engineering.joints.grades import (
    Strength,
    proof_load_n,
    strength_of,
    tensile_load_n,
    yield_load_n,
)
from shop.engineering.joints.stiffness import STEEL_MPA, after_turning, bolt_stiffness, member_stiffness
from shop.engineering.joints.threads import INCH_MM, Thread, parse_thread, require_same_system
from shop.engineering.joints.tightening import (
    DERATES,
    NUT_FACTORS,
    Finish,
    clamp_load,
    derated_nm,
    lubricant_warning,
)
from shop.engineering.joints.wrenches import across_flats
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
    if given.text("nut"):
        given.read("nut", lambda text: require_same_system(thread, parse_thread(text)))
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
            *_hexagon(thread),
        ),
        "π/4 (d − 0.9743/n)²; π/4 (d − 0.938194 P)²; × S",
        f"{strength.source}; ASME B18.2.1, ISO 4014",
        _("1/4 to 1 1/2 in, M1.6 to M39"),
        cautions=(_instruction(),),
    )


def _hexagon(thread: Thread) -> tuple[Figure, ...]:
    """The wrench for its head, where the table has one."""
    try:
        if thread.is_inch:
            return (length(_("Across flats"), across_flats(thread.major_in, inch=True)),)
        return (plain(_("Across flats"), float(across_flats(thread.major_mm)), "mm", places=0),)
    except QuantityError:
        return ()


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
        drawing=draw_clamp(clamp),
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


def _derate(given: Given) -> Answer:
    dry, lubricant = given.newton_metres("torque"), given.text("lubricant")
    lowered = given.read("finish", lambda text: derated_nm(dry, lubricant, finish=Finish(text)))
    share = DERATES[lubricant]
    return Answer(
        (torque(_("Lowered once"), lowered),),
        f"{share:g} × T",
        _("US Army TM 9-6115-604-34 and TM 55-1520-240-23-1, a capscrew chart"),
        _("dry figures of a chart; other charts differ by nearly two"),
        sentence=_("Lowered for the lubricant. Do not lower it again, and do not put it on another finish."),
        cautions=(_instruction(),),
    )


def _thread_field() -> Asked:
    return Asked("thread", _("Thread"), usual="1/2-13", hint=_("3/8-16 or M12x1.75"))


def _grade_field() -> Asked:
    return Asked("grade", _("Grade or class"), usual="8", hint=_("5, 8, 8.8, 10.9 …"))


def _figure_field() -> Asked:
    return Asked("torque", _("Torque"), Dimension.TORQUE, usual="65")


def _finish_field() -> Asked:
    return Asked("finish", _("On the threads"), choices=FINISHES, usual=Finish.OILED)


def _nut_field() -> Asked:
    return Asked("nut", _("Nut"), may_be_empty=True, hint=_("its thread, to see whether it belongs"))


def _bolt_sheet() -> Sheet:
    asked = (_thread_field(), _grade_field(), _nut_field())
    return Sheet("bolt", _("Bolt"), _("What it bears, which nut and wrench belong to it."), asked, _strength)


def _derate_sheet() -> Sheet:
    lubricants = tuple((name, f"{name}: × {share:g}") for name, share in DERATES.items())
    return Sheet(
        "derate",
        _("Dry figure, lubricated"),
        _("A chart's dry torque lowered for a lubricant: once."),
        (
            Asked("torque", _("The chart's figure"), Dimension.TORQUE, usual="100"),
            Asked("finish", _("It was given for"), choices=FINISHES, usual=Finish.BLACK_DRY),
            Asked("lubricant", _("On the threads now"), choices=lubricants, usual="engine oil"),
        ),
        _derate,
    )


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
            _nut_field(),
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
            _nut_field(),
            Asked("grip", _("Grip"), Dimension.LENGTH, usual="1 1/2", hint=_("thickness that is clamped")),
            _finish_field(),
        ),
        _turn,
    )


def sheets() -> tuple[Sheet, ...]:
    """The sheets of this part, in the language of the page."""
    return (
        _bolt_sheet(),
        _clamp_sheet(),
        _turn_sheet(),
        _derate_sheet(),
    )
