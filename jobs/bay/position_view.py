"""A cradle's position as it is shown: drawn with its movement exaggerated, its readings, what moved since."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from django.utils.translation import gettext as _

from jobs.judging.cradle import Cradle
from jobs.judging.position import fit_of
from jobs.judging.questions import words
from jobs.models import CheckpointKind, Result, ResultVerdict
from jobs.record import CheckpointStanding, JobRecord
from shop.engineering.placing.change import change_between
from shop.engineering.placing.fit import Fit
from shop.engineering.placing.readings import Vector
from shop.engineering.placing.words import say_movement
from shop.engineering.quantities.figures import departure_text

FACTORS = (200, 100, 50, 20, 10, 5, 2, 1)
# How much of the drawing the largest movement takes, once it is exaggerated.
SHARE = 0.12
MARGIN = 0.16


@dataclass(frozen=True)
class DrawnPoint:
    """A point of the cradle: where it should be, and where it is with its movement exaggerated."""

    code: str
    x: float
    y: float
    to_x: float
    to_y: float
    off: tuple[float, float, float]


@dataclass(frozen=True)
class Reference:
    code: str
    x: float
    y: float


@dataclass(frozen=True)
class ReadingLine:
    """One reading beside what the fitted position makes of it."""

    name: str
    off: str
    is_doubted: bool


@dataclass(frozen=True)
class PositionView:
    """One result of a position, drawn in plan: forward is up, the left side left."""

    fit: Fit
    cradle: Cradle
    result: Result
    since: tuple[str, ...]

    @cached_property
    def factor(self) -> int:
        """How many times the movement is drawn larger than it is."""
        most = max((max(map(abs, p)) for p in self._off.values()), default=0.0)
        return next((f for f in FACTORS if f * most <= SHARE * self._size), 1)

    @property
    def effects(self) -> str:
        return str(self.result.decision.get("effects", ""))

    @property
    def moves(self) -> tuple[str, ...]:
        """What brings it back, where it does not stand right."""
        if self.result.verdict == ResultVerdict.CONFORMS:
            return ()
        return tuple(self.result.decision.get("moves", ()))

    @cached_property
    def points(self) -> tuple[DrawnPoint, ...]:
        found = []
        for code, (x, y, _z) in self.fit.frame.points.items():
            dx, dy, dz = self._off[code]
            to_x, to_y = x + self.factor * dx, y + self.factor * dy
            found.append(DrawnPoint(code, -y, -x, -to_y, -to_x, (dx, dy, dz)))
        return tuple(found)

    @property
    def references(self) -> tuple[Reference, ...]:
        return tuple(Reference(code, -y, -x) for code, (x, y, _z) in self.fit.frame.references.items())

    @property
    def outline(self) -> str:
        return _outline([(p.x, p.y) for p in self.points])

    @property
    def moved_outline(self) -> str:
        return _outline([(p.to_x, p.to_y) for p in self.points])

    @property
    def view_box(self) -> str:
        xs, ys = zip(*self._places, strict=True)
        margin = MARGIN * self._size
        left, top = min(xs) - margin, min(ys) - margin
        return (
            f"{left:.0f} {top:.0f} {max(xs) - min(xs) + 2 * margin:.0f} {max(ys) - min(ys) + 2 * margin:.0f}"
        )

    @property
    def stroke(self) -> float:
        """The width of a line in the drawing."""
        return round(self._size / 160, 2)

    @property
    def letter(self) -> float:
        return round(self._size / 18, 1)

    @property
    def readings(self) -> tuple[ReadingLine, ...]:
        names = {r.code: (f"{r.code} {r.label}", r.asked.is_angle) for r in self.cradle.readings}
        lines = []
        for residual in self.fit.residuals:
            name, is_angle = names[residual.code]
            places, unit = (2, "°") if is_angle else (1, " mm")
            off = departure_text(residual.off, places, unit) or _("nothing")
            lines.append(ReadingLine(name, off, residual.code in self.fit.doubted))
        return tuple(lines)

    @cached_property
    def _off(self) -> dict[str, Vector]:
        return {code: _less(self.fit.at(at), at) for code, at in self.fit.frame.points.items()}

    @cached_property
    def _places(self) -> list[tuple[float, float]]:
        return [
            (-y, -x) for x, y, _z in (*self.fit.frame.points.values(), *self.fit.frame.references.values())
        ]

    @cached_property
    def _size(self) -> float:
        xs, ys = zip(*self._places, strict=True)
        return float(max(max(xs) - min(xs), max(ys) - min(ys), 1.0))


def position_view(record: JobRecord, standing: CheckpointStanding) -> PositionView | None:
    """The position in force at a checkpoint, with what moved since it was measured before."""
    result = standing.current
    if standing.checkpoint.kind != CheckpointKind.POSITION or result is None:
        return None
    fit = fit_of(standing.checkpoint.frame, result.readings, result.decision)
    return PositionView(
        fit, Cradle.of(standing.checkpoint.frame), result, since_before(record, standing, fit)
    )


def since_before(record: JobRecord, standing: CheckpointStanding, fit: Fit) -> tuple[str, ...]:
    """How the cradle moved since each earlier measurement of the same points, in words."""
    found = []
    for other in _measured_before(record, standing):
        result = other.current
        if result is None:
            continue
        before = fit_of(other.checkpoint.frame, result.readings, result.decision)
        if before.frame.points != fit.frame.points:
            continue
        change = change_between(before, fit)
        moves = say_movement(
            change.movement, system="metric" if record.settings.units == "metric" else "inch"
        )
        told = {"code": other.code, "title": other.checkpoint.title}
        if not change.moved:
            found.append(_("Since %(code)s %(title)s it moved no more than the readings explain.") % told)
        else:
            told["what"] = ", ".join(words(m.stands) for m in moves) or _("in a way that no one figure shows")
            found.append(
                _("Since %(code)s %(title)s it moved, more than the readings explain: %(what)s.") % told
            )
    return tuple(found)


def _measured_before(record: JobRecord, standing: CheckpointStanding) -> Sequence[CheckpointStanding]:
    codes = [c.code for c in record.checkpoints]
    here = codes.index(standing.code)
    return [c for c in record.checkpoints[:here] if c.checkpoint.kind == CheckpointKind.POSITION]


def _less(a: Vector, b: Vector) -> Vector:
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def _outline(corners: list[tuple[float, float]]) -> str:
    """The points round their middle, so that the line does not cross itself."""
    import math

    mx, my = (sum(c[i] for c in corners) / len(corners) for i in (0, 1))
    ordered = sorted(corners, key=lambda c: math.atan2(c[1] - my, c[0] - mx))
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in ordered)
