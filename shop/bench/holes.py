"""Sheets about holes: clearance, tap, float, edge, steps, speed."""

from fractions import Fraction

from django.utils.translation import gettext as _

from shop.bench.drawings import draw_edge, draw_passing
from shop.bench.sheets import Answer, Asked, FieldError, Figure, Given, Sheet, length, plain, said, shown
from shop.engineering.errors import QuantityError
from shop.engineering.holes.clearance import (
    Fit,
    clearance_drill,
    clearance_hole_mm,
    clearance_limits_in,
    percent_thread,
    tap_drill,
    tap_drill_mm,
)
from shop.engineering.holes.drills import FRACTIONAL, MM, saw_sizes_in
from shop.engineering.holes.edges import least_edge_distance
from shop.engineering.holes.floating import fixed_pin, floating_pin
from shop.engineering.holes.machines import parse_speeds, set_on_machine
from shop.engineering.holes.plan import plan_hole
from shop.engineering.holes.spindle import (
    Tool,
    Work,
    coolant,
    cutting_speed,
    hole_saw_rpm,
    rpm,
    same_speed,
)
from shop.engineering.joints.threads import parse_thread
from shop.engineering.quantities.measures import Dimension, Quantity
from shop.engineering.words import Words

FITS = tuple((fit.value, fit.value) for fit in Fit)
WORKS = tuple((work.value, work.value) for work in Work)
TOOLS = tuple((tool.value, tool.value) for tool in (Tool.HSS_DRILL, Tool.COBALT_DRILL, Tool.HOLE_SAW))


def _eyes() -> str:
    return _("Eye protection; no gloves near a turning spindle; clamp the work.")


def _clearance(given: Given) -> Answer:
    thread, fit = given.read("thread", parse_thread), Fit(given.text("fit"))
    formula = _("read from the table for the bolt's diameter")
    if not thread.is_inch:
        hole = clearance_hole_mm(thread.major_mm, fit)
        return Answer((length(_("Hole"), hole * MM),), formula, "ISO 273", _("M1.6 to M39"))
    drill = clearance_drill(thread.major_in, fit)
    low, high = clearance_limits_in(thread.major_in, fit)
    figures = (
        Figure(_("Drill"), f"{drill.name} in", f"{float(drill.diameter_mm):.2f} mm"),
        Figure(_("The hole may be"), f"{float(low):.3f} … {float(high):.3f} in"),
    )
    return Answer(figures, formula, "ASME B18.2.8", _("#6 to 1 1/2 in"))


def _tap(given: Given) -> Answer:
    thread = given.read("thread", parse_thread)
    if thread.is_inch:
        drill = tap_drill(thread.major_in, thread.per_inch)
        source = _("Machinery's Handbook, thread height 0.75 H; the drill for about 75 % is shop practice")
    else:
        drill = tap_drill_mm(thread.major_mm, thread.pitch_mm)
        source = _("ISO 2306 as reprinted in tap charts")
    share = percent_thread(thread.major_in, thread.per_inch, drill.diameter_in)
    figures = (
        Figure(
            _("Drill"), drill.name, f"{float(drill.diameter_in):.4f} in, {float(drill.diameter_mm):.2f} mm"
        ),
        plain(_("Of a full thread"), share, "%"),
    )
    return Answer(figures, "100 (D − d) n / 1.299", source, _("60° threads"))


def _float(given: Given) -> Answer:
    pin, hole = given.inches("pin"), given.inches("hole")
    offset, unsure = given.inches("offset"), given.inches("unsure")
    other: Fraction | None = None
    if given.text("held") == "held":
        passage = fixed_pin(pin, hole, offset, uncertain_in=unsure)
        formula = _("play = H − F − 2 × offset (fixed fastener)")
    else:
        other = given.inches("other") if given.text("other") else hole
        passage = floating_pin(pin, (hole, other), offset, uncertain_in=unsure)
        formula = _("play = (H1 + H2)/2 − offset − F (floating fastener)")
    words = said(passage.sentence)
    return Answer(
        (length(_("Play"), passage.play_in),),
        formula,
        "ASME Y14.5",
        _("round holes, offset seen along the pin"),
        sentence=words[:1].upper() + words[1:] + ".",
        drawing=draw_passing(
            given.quantity("pin"),
            given.quantity("hole"),
            None if other is None else given.quantity("other" if given.text("other") else "hole"),
            given.quantity("offset"),
        ),
    )


def _edge(given: Given) -> Answer:
    thread, sheared = given.read("thread", parse_thread), given.text("edge") == "sheared"
    size = thread.major_in if thread.is_inch else thread.major_mm
    rule = least_edge_distance(size, metric=not thread.is_inch, sheared=sheared)
    unit = "in" if thread.is_inch else "mm"
    least, distance = Quantity(rule.least, unit), _above_nothing(given, "distance")
    hole = _above_nothing(given, "hole") or Quantity(size, unit)
    figures = [shown(_("Centre to edge, at least"), least)]
    if distance is not None:
        metal = distance.to("in").value - hole.to("in").value / 2
        figures.append(length(_("Metal between hole and edge"), metal))
    return Answer(
        tuple(figures),
        _("read from the table; beyond it 1.25 d, or 1.75 d at a sheared edge"),
        said(rule.source),
        _("structural joints; a sheet bracket is not one"),
        sentence=_edge_verdict(distance, least, hole),
        drawing=draw_edge(hole, least, distance),
    )


def _above_nothing(given: Given, name: str) -> Quantity | None:
    """A length that may be left out; of nothing or less it is a slip."""
    if not given.text(name):
        return None
    found = given.quantity(name)
    if found.value <= 0:
        raise FieldError(name, QuantityError(Words("It is above nothing", {})))
    return found


def _edge_verdict(distance: Quantity | None, least: Quantity, hole: Quantity) -> str:
    if distance is None:
        return ""
    if 2 * distance.quanta <= hole.quanta:
        return _("The hole breaks through the edge.")
    if distance.quanta < least.quanta:
        return _("Too near to the edge.")
    return _("Far enough from the edge.")


def _plan(given: Given) -> Answer:
    steps = plan_hole(
        given.inches("hole"), drills=FRACTIONAL, saws_in=saw_sizes_in(), work=Work(given.text("work"))
    )
    return Answer(
        (),
        _("pilot, steps of at most 3/16 in, saw above 1/2 in"),
        _("common practice, no source; speeds as on the sheet of speeds"),
        _("1/16 to 2 1/2 in with fractional drills and catalogue saws"),
        steps=tuple(f"{said(step.words)}: {step.rpm} /min" for step in steps),
        cautions=(_eyes(),),
    )


def _speed(given: Given) -> Answer:
    work, tool, size = Work(given.text("work")), Tool(given.text("tool")), given.inches("size")
    speed = cutting_speed(work)
    wanted = (
        float(hole_saw_rpm(size, work)) if tool is Tool.HOLE_SAW else rpm(speed.hand_high_ft_min, float(size))
    )
    machine = given.read("machine", parse_speeds) if given.text("machine") else ()
    setting = set_on_machine(wanted, machine) if machine else None
    steel = same_speed(tool)
    return Answer(
        (plain(_("At most"), wanted, "/min", places=0),),
        "N = 12 V / (π D)",
        _("makers' charts of hole saws") if tool is Tool.HOLE_SAW else speed.source,
        _("a starting value; slower when it squeals or smokes"),
        sentence=f"{said(setting.sentence)}." if setting else "",
        cautions=(*((f"{said(steel)}.",) if steel else ()), f"{said(coolant(work, tool))}.", _eyes()),
    )


def _clearance_sheet() -> Sheet:
    return Sheet(
        "clearance",
        _("Clearance hole"),
        _("The hole through which a bolt goes freely."),
        (
            Asked("thread", _("Bolt"), usual="1/2-13", hint=_("3/8-16 or M12x1.75")),
            Asked("fit", _("Fit"), choices=FITS, usual="normal"),
        ),
        _clearance,
    )


def _tap_sheet() -> Sheet:
    return Sheet(
        "tap",
        _("Tap drill"),
        _("The drill before the tap."),
        (Asked("thread", _("Thread"), usual="3/8-16", hint=_("3/8-16 or M12x1.75")),),
        _tap,
    )


def _floats_sheet() -> Sheet:
    return Sheet(
        "floats",
        _("Floats or binds"),
        _("Whether a sleeve or bolt goes through the holes as they were drilled."),
        (
            Asked("pin", _("Sleeve or bolt, largest"), Dimension.LENGTH, usual="1"),
            Asked("hole", _("Hole"), Dimension.LENGTH, usual="1 1/8"),
            Asked(
                "other",
                _("Hole in the other wall"),
                Dimension.LENGTH,
                may_be_empty=True,
                hint=_("if it differs"),
            ),
            Asked("offset", _("Centres apart"), Dimension.LENGTH, usual="1/16"),
            Asked("unsure", _("The readings may be off by"), Dimension.LENGTH, usual="1/64"),
            Asked(
                "held",
                _("The pin is"),
                choices=(("free", _("free in both")), ("held", _("held in one part"))),
                usual="free",
            ),
        ),
        _float,
    )


def _edge_sheet() -> Sheet:
    return Sheet(
        "edge",
        _("Edge distance"),
        _("How far the centre of a hole stays from an edge."),
        (
            Asked("thread", _("Bolt"), usual="1/2-13"),
            Asked(
                "edge",
                _("Edge"),
                choices=(("cut", _("rolled, cut or drilled")), ("sheared", _("sheared"))),
                usual="cut",
            ),
            Asked(
                "distance",
                _("Centre to edge, as marked"),
                Dimension.LENGTH,
                may_be_empty=True,
                hint=_("to see whether it does"),
            ),
            Asked("hole", _("Hole"), Dimension.LENGTH, may_be_empty=True, hint=_("empty: drawn as its bolt")),
        ),
        _edge,
    )


def _steps_sheet() -> Sheet:
    return Sheet(
        "steps",
        _("Steps to a hole"),
        _("Pilot, steps, saw."),
        (
            Asked("hole", _("Hole"), Dimension.LENGTH, usual="1 1/8"),
            Asked("work", _("Into"), choices=WORKS, usual=Work.MILD_STEEL),
        ),
        _plan,
    )


def _speed_sheet() -> Sheet:
    return Sheet(
        "speed",
        _("Spindle speed"),
        _("What to set the drill to."),
        (
            Asked("tool", _("Tool"), choices=TOOLS, usual=Tool.HSS_DRILL),
            Asked("size", _("Diameter"), Dimension.LENGTH, usual="3/8"),
            Asked("work", _("Into"), choices=WORKS, usual=Work.MILD_STEEL),
            Asked("machine", _("The machine's speeds"), may_be_empty=True, hint=_("such as 250 500 1200")),
        ),
        _speed,
    )


def sheets() -> tuple[Sheet, ...]:
    """The sheets of this part, in the language of the page."""
    return (_clearance_sheet(), _tap_sheet(), _floats_sheet(), _edge_sheet(), _steps_sheet(), _speed_sheet())
