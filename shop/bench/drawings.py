"""The bench's drawings in strokes and words, from what was worked out; geometry.py says what lies where."""

from dataclasses import dataclass
from fractions import Fraction

from django.utils.translation import gettext as _

from shop.bench import geometry
from shop.bench.geometry import LEFT, RIGHT, WIDTH, Circle
from shop.engineering.decision import Decision
from shop.engineering.joints.tightening import Clamp
from shop.engineering.quantities.measures import Quantity, from_quanta
from shop.engineering.quantities.writer import natural, rounded

HATCH = {"close": 12.0, "rejects": 7.0}
NEAR_END = 160.0  # words this near to an end of the picture begin or end there
HALF_BAR = 26.0


@dataclass(frozen=True)
class Stroke:
    """A path; `kind` is its class."""

    kind: str
    path: str


@dataclass(frozen=True)
class Note:
    """Words at a place."""

    x: float
    y: float
    text: str
    anchor: str = "middle"


@dataclass(frozen=True)
class Drawing:
    """What the template draws. `told` is the drawing in words, `key` what its strokes mean."""

    height: float
    strokes: tuple[Stroke, ...]
    notes: tuple[Note, ...]
    told: str
    key: str
    width: float = WIDTH


def draw_decision(decision: Decision) -> Drawing | None:
    """The tolerance zone with its guard bands, the reading over it with what it may be off."""
    limits, found = decision.limits, decision.thresholds
    accept = (found.accept_low, found.accept_high) if found.provable else None
    zone = geometry.lay_zone(
        (limits.low_canonical, limits.high_canonical),
        accept,
        (found.reject_low, found.reject_high),
        decision.reading.canonical,
        found.expanded_uncertainty,
    )
    if zone is None:
        return None
    strokes = []
    for cell in zone.cells:
        if cell.kind in HATCH:
            strokes.append(Stroke("thin", _hatch(cell.start, cell.end, 116, 176, HATCH[cell.kind])))
        strokes.append(Stroke(cell.kind, f"M{cell.start:.1f} 116H{cell.end:.1f}V176H{cell.start:.1f}Z"))
    strokes += [Stroke("edge", f"M{at:.1f} 96V200") for at in zone.limits]
    strokes.append(Stroke("mark", f"M{zone.off_low:.1f} 66H{zone.off_high:.1f}"))
    strokes += [Stroke("mark", f"M{at:.1f} 56V76") for at in (zone.off_low, zone.off_high)]
    strokes.append(Stroke("point", _point(zone.reading, 66, zone.beyond)))
    off = rounded(from_quanta(found.expanded_uncertainty, limits.unit))
    read = f"{natural(decision.reading)} ±{off}"
    return Drawing(
        236,
        tuple(strokes),
        (_note(zone.reading, 38, read), *_limit_notes(zone.limits, limits.low, limits.high)),
        _("The reading %(reading)s over the zone of %(limits)s: %(verdict)s")
        % {"reading": read, "limits": limits.describe(), "verdict": _verdict(decision)},
        _zone_key(zone.beyond),
    )


def _zone_key(beyond: int) -> str:
    key = _("Plain: conforms. Hatched: guard band, too close to call. Densely hatched: does not conform.")
    thick = _("Thick: the limits. Dot with bar: the reading with what it may be off.")
    return " ".join([key, thick, *([_("Arrow: the reading lies beyond the drawing.")] if beyond else [])])


def _verdict(decision: Decision) -> str:
    words = {
        "conforms": _("it conforms"),
        "does_not_conform": _("it does not conform"),
        "too_close": _("too close to call"),
    }
    return words[decision.verdict.value]


def _limit_notes(places: tuple[float, ...], low: Quantity | None, high: Quantity | None) -> list[Note]:
    """A lower limit's words end at it and an upper one's begin there, so that they never meet."""
    ends = [(end, "end" if end is low else "start") for end in (low, high) if end is not None]
    return [Note(at, 226, natural(end), anchor) for at, (end, anchor) in zip(places, ends, strict=True)]


def draw_clamp(clamp: Clamp) -> Drawing | None:
    """The range of clamp load as a bar on a scale of the bolt's proof load."""
    load = geometry.lay_load(clamp.low_percent, clamp.high_percent, 100 * clamp.yield_n / clamp.proof_n)
    if load is None:
        return None
    strokes = [
        Stroke("thin", f"M{LEFT:.1f} 150H{RIGHT:.1f}"),
        *(Stroke("thin", f"M{at:.1f} 150V162") for _percent, at in load.ticks),
        Stroke("held", f"M{load.start:.1f} 84H{load.end:.1f}V136H{load.start:.1f}Z"),
        Stroke("thin", _hatch(load.start, load.end, 84, 136, HATCH["close"])),
        Stroke("edge", f"M{load.full:.1f} 48V162"),
    ]
    notes = [Note(at, 186, f"{percent} %") for percent, at in load.ticks]
    notes.append(Note(load.full - 8, 62, _("proof load, 100 %"), "end"))
    if load.yields is not None:
        strokes.append(Stroke("dashed", f"M{load.yields:.1f} 48V162"))
        notes.append(Note(load.yields + 8, 62, _("yield"), "start"))
    if load.is_open:
        strokes.append(Stroke("point", _point(RIGHT, 110, 1)))
    share = f"{clamp.low_percent:.0f} … {clamp.high_percent:.0f} %"
    notes.append(_note((load.start + load.end) / 2, 30, share))
    told = _("The clamp load is %(share)s of the bolt's proof load") % {"share": share}
    key = _("Bar: from the least to the most that this torque may clamp. Thick: proof load. Dashed: yield.")
    beyond = " " + _("Arrow: it goes on beyond the scale.") if load.is_open else ""
    return Drawing(200, tuple(strokes), tuple(notes), told, key + beyond)


def draw_passing(pin: Quantity, hole: Quantity, other: Quantity | None, offset: Quantity) -> Drawing | None:
    """A pin in its holes, seen along it: diameters, centres apart. Without `other` one part holds it."""
    passing = geometry.lay_passing(
        _inches(pin), _inches(hole), None if other is None else _inches(other), _inches(offset)
    )
    if passing is None:
        return None
    circles = [
        (passing.hole, "edge", -0.7, 96.0, _("hole %(size)s") % {"size": natural(hole)}),
        (passing.pin, "pin", 0.0, 184.0, _("sleeve or bolt %(size)s") % {"size": natural(pin)}),
    ]
    if passing.other is not None and other is not None:
        words = _("other wall's hole %(size)s") % {"size": natural(other)}
        circles.append((passing.other, "dashed", 0.7, 272.0, words))
    strokes = [Stroke(kind, _circle(circle)) for circle, kind, *_rest in sorted(circles, key=_is_not_pin)]
    strokes += [Stroke("thin", _cross(circle)) for circle, *_rest in circles]
    strokes += [Stroke("thin", _leader(circle, turn, y)) for circle, _kind, turn, y, _words in circles]
    told = ", ".join(words for *_rest, words in circles)
    apart = _("centres %(offset)s apart") % {"offset": natural(offset)}
    return Drawing(
        geometry.CIRCLES_HEIGHT,
        tuple(strokes),
        tuple(Note(452, y + 7, words, "start") for *_rest, y, words in circles),
        f"{told}, {apart}",
        _("Seen along the sleeve, to scale; %(apart)s. It goes through where it crosses no circle.")
        % {"apart": apart},
    )


def _is_not_pin(drawn: tuple[Circle, str, float, float, str]) -> bool:
    """The pin is drawn first, so that a circle that it crosses is seen."""
    return drawn[1] != "pin"


def _leader(circle: Circle, turn: float, y: float) -> str:
    """From the circle, up or down its right side, to the words."""
    x, rise = circle.x + circle.r * (1 - abs(turn) * 0.41), circle.r * turn
    return f"M{x:.1f} {circle.y + rise:.1f}L424 {y:.1f}H444"


def draw_edge(hole: Quantity, least: Quantity, given: Quantity | None) -> Drawing | None:
    """A hole at an edge with the least distance of its centre and the one given."""
    laid = geometry.lay_edge(_inches(hole), _inches(least), None if given is None else _inches(given))
    if laid is None:
        return None
    middle, bottom = geometry.HOLE_HEIGHT / 2 + 50, geometry.HOLE_HEIGHT + 40
    top, low, high = 30.0, bottom + 26, 60.0
    strokes = [
        Stroke("metal", f"M{laid.edge:.1f} {high}H{RIGHT:.1f}V{bottom}H{laid.edge:.1f}Z"),
        Stroke("hole", _circle(Circle(laid.hole.x, middle, laid.hole.r))),
        Stroke("thin", _cross(Circle(laid.hole.x, middle, laid.hole.r))),
        Stroke("edge", f"M{laid.edge:.1f} {high}V{bottom}"),
        Stroke("thin", f"M{laid.edge:.1f} {bottom}V{low + 12}M{laid.least:.1f} {middle}V{low + 12}"),
        Stroke("mark", _dimension(laid.edge, laid.least, low)),
    ]
    asked = _("at least %(distance)s") % {"distance": natural(least)}
    notes = [Note(max(laid.least, laid.edge) + 12, low + 8, asked, "start")]
    told = _("The hole's centre stays %(asked)s from the edge") % {"asked": asked}
    if given is not None and laid.given is not None:
        ends = f"M{laid.edge:.1f} {high}V{top - 12}M{laid.given:.1f} {middle}V{top - 12}"
        is_too_near = given.quanta < least.quanta
        kind = "wrong" if is_too_near else "mark"
        strokes += [Stroke("thin", ends), Stroke(kind, _dimension(laid.edge, laid.given, top))]
        as_given = _("given %(distance)s") % {"distance": natural(given)}
        as_given += f": {_('too near')}" if is_too_near else ""
        notes.append(Note(laid.given + 12, top + 8, as_given, "start"))
        told += f"; {as_given}"
    return Drawing(
        low + 24, tuple(strokes), tuple(notes), told, _("Thick: the edge, metal to the right. To scale.")
    )


def _inches(q: Quantity) -> Fraction:
    return q.to("in").value


def _note(x: float, y: float, text: str) -> Note:
    """Words over a place, kept inside the picture."""
    if x < NEAR_END:
        return Note(LEFT, y, text, "start")
    return Note(RIGHT, y, text, "end") if x > WIDTH - NEAR_END else Note(x, y, text)


def _circle(circle: Circle) -> str:
    r, across = f"{circle.r:.2f}", f"{2 * circle.r:.2f}"
    return f"M{circle.x - circle.r:.2f} {circle.y:.1f}a{r} {r} 0 1 0 {across} 0a{r} {r} 0 1 0 -{across} 0Z"


def _cross(circle: Circle) -> str:
    return f"M{circle.x - 9:.2f} {circle.y:.1f}h18M{circle.x:.2f} {circle.y - 9:.1f}v18"


def _point(x: float, y: float, beyond: int) -> str:
    """A dot, or an arrow to where the value lies beyond the picture."""
    if beyond:
        return f"M{x + 22 * beyond:.1f} {y}L{x:.1f} {y - 13}V{y + 13}Z"
    return _circle(Circle(x, y, 9))


def _dimension(start: float, end: float, y: float) -> str:
    """A line with strokes across its ends."""
    return f"M{start:.1f} {y}H{end:.1f}M{start:.1f} {y - 9}V{y + 9}M{end:.1f} {y - 9}V{y + 9}"


def _hatch(start: float, end: float, top: float, bottom: float, step: float) -> str:
    """Lines at 45° within a box."""
    lines, x, rise = [], start - (bottom - top) + step / 2, bottom - top
    while x < end:
        first, last = max(x, start), min(x + rise, end)
        if last > first:
            lines.append(f"M{first:.1f} {bottom - (first - x):.1f}L{last:.1f} {bottom - (last - x):.1f}")
        x += step
    return "".join(lines)
