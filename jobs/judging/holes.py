"""The holes of an operation with what the shop owns: steps, speeds, what goes through, the edge."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.judging.instruments import all_tools
from jobs.judging.questions import read_back, said, words
from jobs.record import JobRecord, OperationStanding
from shop.engineering.errors import QuantityError
from shop.engineering.holes.drills import Drill, find_drill
from shop.engineering.holes.edges import THUMB
from shop.engineering.holes.floating import Goes, Passage, fixed_pin, floating_pin
from shop.engineering.holes.machines import parse_speeds, set_on_machine
from shop.engineering.holes.plan import Step, plan_hole
from shop.engineering.holes.spindle import Tool as Cutter
from shop.engineering.holes.spindle import Work, coolant, cutting_speed, same_speed
from shop.engineering.quantities.measures import Dimension, from_quanta
from shop.engineering.quantities.reader import parse_quantity
from shop.engineering.quantities.writer import both, brief
from shop.models import Tool, ToolKind, ToolMaterial
from shop.tool_forms import size_in

SPEED_SOURCE = "N = 12 V / (π D); Machinery's Handbook, makers' charts for hole saws, hand-held practice"
CAUTIONS = {
    Cutter.HOLE_SAW: gettext_lazy(
        "A hole saw that grabs breaks wrists: side handle on, feet set, clutch low."
    ),
    Cutter.HSS_DRILL: gettext_lazy(
        "Chips fly and cut: glasses on. Ease off before the drill breaks through."
    ),
}


@dataclass(frozen=True)
class Turns:
    """What to set for one step: on which machine, and at most how fast."""

    machine: str
    sentence: str


@dataclass(frozen=True)
class StepLine:
    """One tool through one wall."""

    words: str
    tool: str
    turns: tuple[Turns, ...]
    coolant: str
    code: str = ""


@dataclass(frozen=True)
class WallPlan:
    """A wall with its steps; or, in words, why it cannot be made with what the shop owns."""

    name: str
    steps: tuple[StepLine, ...] = ()
    inputs: str = ""
    fault: str = ""


@dataclass(frozen=True)
class HoleCard:
    """Holes of one kind, as a tablet and a desk show them."""

    name: str
    size: str
    count: str
    size_also: str
    walls: tuple[WallPlan, ...]
    passage: str = ""
    passage_code: str = ""
    edge: str = ""
    cautions: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    source: str = SPEED_SOURCE


@dataclass(frozen=True)
class Workshop:
    """What is owned, as planning wants it."""

    drills: tuple[Drill, ...] = ()
    saws: tuple[Fraction, ...] = ()
    machines: tuple[tuple[str, tuple[int, ...]], ...] = ()
    codes: Mapping[Fraction, str] = field(default_factory=dict)
    materials: Mapping[str, ToolMaterial] = field(default_factory=dict)

    @classmethod
    def of(cls, tools: Sequence[Tool]) -> "Workshop":
        drills = {t.code: find_drill(t.size) for t in tools if t.kind == ToolKind.DRILL}
        saws = {t.code: size_in(t.kind, t.size) for t in tools if t.kind == ToolKind.HOLE_SAW}
        sizes = {**{d.diameter_in: code for code, d in drills.items()}, **{s: c for c, s in saws.items()}}
        machines = tuple((str(t), parse_speeds(t.speeds)) for t in tools if t.kind == ToolKind.MACHINE)
        materials = {t.code: ToolMaterial(t.material) for t in tools if t.material}
        return cls(tuple(sorted(drills.values())), tuple(sorted(saws.values())), machines, sizes, materials)

    @classmethod
    def owned(cls) -> "Workshop":
        """What the shop owns now, in one query; nothing where a size cannot be read any more."""
        try:
            return cls.of(all_tools())
        except QuantityError:
            return cls()

    def turns(self, step: Step) -> tuple[Turns, ...]:
        """What to set on each machine: which of them reaches the car is for whoever drills to say."""
        settings = [(name, set_on_machine(step.rpm, speeds)) for name, speeds in self.machines]
        if not settings:
            return (Turns("", _("at most %(rpm)d a minute") % {"rpm": step.rpm}),)
        nearest = sorted(settings, key=lambda pair: (pair[1].is_too_fast, -pair[1].set_rpm))
        return tuple(Turns(name, words(setting.sentence)) for name, setting in nearest)


def holes_of(
    record: JobRecord, operation: OperationStanding, workshop: Workshop | None = None
) -> tuple[HoleCard, ...]:
    """The holes of an operation of one car; none, and nothing asked, where its procedure names none."""
    holes: list[dict[str, Any]] = operation.operation.holes
    if not holes:
        return ()
    owned = workshop or Workshop.owned()
    return tuple(hole_card(hole, owned, record) for hole in holes)


def hole_card(hole: dict[str, Any], workshop: Workshop, record: JobRecord | None = None) -> HoleCard:
    """One kind of hole with its steps; as drilled where it was measured on a car.

    Raises:
        QuantityError: a size that is none.
    """
    walls = tuple(_walls(hole, workshop))
    cutters = {Cutter.HOLE_SAW for wall in walls if any("saw" in step.words.lower() for step in wall.steps)}
    passage, measured = _passage(hole, record)
    return HoleCard(
        name=str(hole["name"]),
        size=str(hole["size"]),
        size_also=both(parse_quantity(hole["size"]))[1],
        count=str(hole.get("count", "")),
        walls=walls,
        passage=_passage_words(hole, passage, measured=measured) if passage else "",
        passage_code=_CODES[passage.goes] if passage and measured else "",
        edge=_edge(hole, record),
        cautions=tuple(
            str(CAUTIONS[cutter]) for cutter in CAUTIONS if cutter in cutters | {Cutter.HSS_DRILL}
        ),
        notes=tuple(_notes(walls, workshop)),
    )


def _notes(walls: Sequence[WallPlan], workshop: Workshop) -> Iterator[str]:
    """What the steel of a tool changes, or why it changes nothing."""
    codes = {step.code for wall in walls for step in wall.steps}
    note = same_speed(Cutter.COBALT_DRILL)
    if note and any(workshop.materials.get(code) == ToolMaterial.COBALT for code in codes):
        yield words(note) + "."


_CODES = {Goes.FLOATS: "conforms", Goes.TIGHT: "too_close", Goes.BINDS: "does_not_conform"}


def _walls(hole: dict[str, Any], workshop: Workshop) -> Iterator[WallPlan]:
    """Each wall has its own size and metal; where none is named it is one."""
    for wall in hole.get("walls") or [{"name": ""}]:
        work = Work(wall.get("work") or hole.get("work") or Work.MILD_STEEL.value)
        size = wall.get("size") or hole["size"]
        thick = wall.get("thickness", "")
        facts = [wall["name"], thick, work.value, size if wall.get("size") else ""]
        name = ", ".join(filter(None, facts))
        try:
            steps = plan_hole(
                parse_quantity(size).to("in").value, drills=workshop.drills, saws_in=workshop.saws, work=work
            )
        except QuantityError as error:
            yield WallPlan(name, fault=said(error))
            continue
        yield WallPlan(name, tuple(_line(step, workshop, work) for step in steps), _inputs(work))


def _inputs(work: Work) -> str:
    """What the speeds of a wall were worked out from."""
    speed = cutting_speed(work)
    parts = {"work": work.value, "fastest": speed.hand_high_ft_min, "source": speed.source}
    return _("%(work)s, drills at up to %(fastest)d ft/min: %(source)s") % parts


def _line(step: Step, workshop: Workshop, work: Work) -> StepLine:
    code = workshop.codes.get(step.diameter_in, "")
    steel = workshop.materials.get(code)
    tool = ", ".join(filter(None, (code, str(steel.label) if steel else "")))
    return StepLine(words(step.words), tool, workshop.turns(step), words(coolant(work, step.tool)), code)


def _passage(hole: dict[str, Any], record: JobRecord | None) -> tuple[Passage | None, bool]:
    """Whether what goes through does: in the hole as drilled where it was measured, else in its size."""
    if not hole.get("takes_size"):
        return None, False
    pin = parse_quantity(hole["takes_size"]).to("in").value
    found = _read(record, hole.get("measured", ""))
    offsets = _read(record, hole.get("offset", ""))
    diameter = min(found.values) if found else parse_quantity(hole["size"]).to("in").value
    offset = max(map(abs, offsets.values)) if offsets else Fraction(0)
    uncertain = (found.expanded if found else Fraction(0)) + (offsets.expanded if offsets else Fraction(0))
    try:
        if hole.get("held") == "yes":
            return fixed_pin(pin, diameter, offset, uncertain_in=uncertain), found is not None
        return floating_pin(pin, (diameter, diameter), offset, uncertain_in=uncertain), found is not None
    except QuantityError:
        return None, False


def _passage_words(hole: dict[str, Any], passage: Passage, *, measured: bool) -> str:
    parts = {"what": hole["takes"], "size": hole["takes_size"], "how": words(passage.sentence)}
    if not measured:
        return _("Drilled to size, the %(what)s of %(size)s %(how)s.") % parts
    if hole.get("offset"):
        return _("As drilled, with its position as measured, the %(what)s of %(size)s %(how)s.") % parts
    return _("As drilled, the %(what)s of %(size)s %(how)s; the position is not measured.") % parts


@dataclass(frozen=True)
class ReadLength:
    """What was read at a checkpoint, inches, and how far it may be off (k = 2)."""

    values: tuple[Fraction, ...]
    expanded: Fraction


def _read(record: JobRecord | None, code: str) -> ReadLength | None:
    standing = record.find_checkpoint(code) if code and record else None
    result = standing.current if standing else None
    if record is None or standing is None or result is None or record.awaits_witness(standing):
        return None
    kept = [result.readings[name] for name in ("value", "left", "right") if name in result.readings]
    quantities = [read_back(each) for each in kept]
    if not quantities or any(q.dimension is not Dimension.LENGTH for q in quantities):
        return None
    decision = result.decision.get("left_decision") or result.decision
    expanded = int((decision.get("thresholds") or {}).get("expanded_uncertainty", 0))
    return ReadLength(
        tuple(q.to("in").value for q in quantities), from_quanta(Fraction(expanded), "in").value
    )


def _edge(hole: dict[str, Any], record: JobRecord | None) -> str:
    """How far the centre is from the edge, in diameters of the hole, beside what practice takes."""
    read = _read(record, hole.get("edge_measured", ""))
    asked = hole.get("edge", "")
    if not asked and read is None:
        return ""
    distance = min(read.values) if read else parse_quantity(asked).to("in").value
    size = parse_quantity(hole["size"]).to("in").value
    parts = {
        "edge": brief(from_quanta(parse_quantity("1 in").quanta * distance, "in")),
        "times": f"{float(distance / size):.2f}",
        "least": f"{float(THUMB[0]):.1f}",
        "most": f"{float(THUMB[1]):.0f}",
    }
    told = (
        _("Centre to edge %(edge)s as measured, %(times)s diameters of the hole")
        if read
        else _("Centre to edge %(edge)s as asked, %(times)s diameters of the hole")
    )
    rule = _(
        " (practice takes %(least)s to %(most)s of the bolt; no source, the kit maker's figure comes first)."
    )
    return (told + rule) % parts
