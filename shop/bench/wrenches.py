"""Sheets about tightening: castle nuts, wrench settings, a torque tool's check, a pattern's order."""

from django.utils.translation import gettext as _

from shop.bench.sheets import Answer, Asked, Figure, Given, Sheet, plain, said, torque
from shop.engineering.joints.castle import castle_nut
from shop.engineering.joints.wrenches import (
    check_tool,
    setting_for,
    setting_with_prevailing,
    staged_passes,
    tightening_order,
)
from shop.engineering.quantities.measures import Dimension


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
            Figure(_("May be"), f"±{100 * found.permitted:.0f} %"),
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
        (
            Asked("bolts", _("Bolts"), usual="6", is_number=True),
            Asked("torque", _("Torque"), Dimension.TORQUE, usual="65"),
        ),
        _pattern,
    )


def sheets() -> tuple[Sheet, ...]:
    """The sheets of this part, in the language of the page."""
    return (_castle_sheet(), _setting_sheet(), _tool_sheet(), _pattern_sheet())
