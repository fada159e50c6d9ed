"""The cradle of a procedure: its points, the references on the body, and the readings that are asked for.

Kept as the file writes it, and read again here. Axes: forward, to the left, up; every place by three figures.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from django.utils.translation import gettext_lazy

from shop.engineering.errors import GeometryError
from shop.engineering.placing.readings import Asked, Frame, ReadingKind, Vector, expected_reading
from shop.engineering.quantities import Dimension, QuantityError, parse_quantity
from shop.engineering.quantities.measures import Quantity
from shop.engineering.words import say

SECTION_KEYS = ("track", "points", "references", "readings")
PLACE_KEYS = ("code", "name", "at")
READING_KEYS = ("code", "kind", "of", "from", "name")
KIND_WORDS = {
    ReadingKind.DISTANCE: gettext_lazy("point to point"),
    ReadingKind.PLAN: gettext_lazy("plumbed to the floor, mark to mark"),
    ReadingKind.AHEAD: gettext_lazy("ahead"),
    ReadingKind.ACROSS: gettext_lazy("to the left"),
    ReadingKind.HEIGHT: gettext_lazy("height"),
    ReadingKind.LINE: gettext_lazy("square to the line"),
    ReadingKind.SLOPE: gettext_lazy("level"),
}
MOST = 60


@dataclass(frozen=True)
class NamedReading:
    """A reading as the fabricator is asked for it."""

    asked: Asked
    name: str
    should: float

    @property
    def code(self) -> str:
        return self.asked.code

    @property
    def label(self) -> str:
        ways = [*self.asked.points, *self.asked.references]
        return self.name or f"{' – '.join(ways)}, {KIND_WORDS[self.asked.kind]}"


@dataclass(frozen=True)
class Cradle:
    """A section that was read.

    Attributes:
        frame: for the fit, millimetres.
        names: of readings where the file gives one.
        unit: in which the section is written.
        track_mm: between the wheels; None where it is not given.
    """

    frame: Frame
    names: Mapping[str, str]
    unit: str
    track_mm: float | None

    @classmethod
    def of(cls, kept: Mapping[str, Any]) -> "Cradle":
        """The section as it is kept.

        Raises:
            QuantityError: a figure is none, points on a line, a reading of points that there are not.
        """
        points, references = _places(kept, "points"), _places(kept, "references")
        rows = kept.get("readings", ())
        if not isinstance(rows, Sequence) or isinstance(rows, str) or not 0 < len(rows) <= MOST:
            raise GeometryError(say("from 1 to %(most)d readings are asked for", most=MOST))
        frame = Frame(points, references, tuple(_asked(row) for row in rows))
        track = kept.get("track", "")
        first = parse_quantity(str(kept["points"][0]["at"]).split(",")[0].strip())
        return cls(
            frame,
            {str(row["code"]): str(row.get("name", "")) for row in rows},
            "mm" if first.unit in {"mm", "cm", "m"} else "in",
            _mm(str(track)) if track else None,
        )

    @cached_property
    def readings(self) -> tuple[NamedReading, ...]:
        frame = self.frame
        return tuple(
            NamedReading(a, self.names.get(a.code, ""), expected_reading(frame, a, frame.points)[0])
            for a in frame.asked
        )

    def unit_of(self, asked: Asked) -> str:
        return "°" if asked.is_angle else self.unit

    def with_uncertainty(self, of: Mapping[str, float]) -> Frame:
        """The frame with the uncertainty of what each reading was taken with."""
        asked = (replace(a, uncertainty=of.get(a.code, a.uncertainty)) for a in self.frame.asked)
        return Frame(self.frame.points, self.frame.references, tuple(asked))


def _asked(row: Any) -> Asked:
    if not isinstance(row, Mapping) or not row.get("code"):
        raise GeometryError(say("each reading has a code, a kind, and what it is of"))
    code, kind = str(row["code"]), str(row.get("kind", ""))
    unknown = [key for key in row if key not in READING_KEYS]
    if unknown:
        raise GeometryError(say("%(code)s: “%(key)s” is no word of a reading", code=code, key=unknown[0]))
    if kind not in list(ReadingKind):
        known = ", ".join(ReadingKind)
        raise GeometryError(
            say("%(code)s: “%(kind)s” is none of: %(known)s", code=code, kind=kind, known=known)
        )
    # An angle of a level, a length of a tape: until something is picked to read with.
    usual = 0.06 if kind == ReadingKind.SLOPE else 0.6
    return Asked(code, ReadingKind(kind), _words(row.get("of")), _words(row.get("from")), usual)


def _words(given: Any) -> tuple[str, ...]:
    if given is None or given == "":
        return ()
    return (given,) if isinstance(given, str) else tuple(str(word) for word in given)


def _places(kept: Mapping[str, Any], key: str) -> dict[str, Vector]:
    found: dict[str, Vector] = {}
    rows = kept.get(key, ())
    for row in rows if isinstance(rows, Sequence) and not isinstance(rows, str) else ():
        code = str(row.get("code", "")) if isinstance(row, Mapping) else ""
        if not code or code in found or not isinstance(row.get("at"), str):
            raise GeometryError(say("%(key)s: each has a code of its own and a place, “at”", key=key))
        found[code] = parse_vector(row["at"], code)
    if not found:
        raise GeometryError(say("names no %(key)s", key=key))
    return found


def parse_vector(text: str, code: str) -> Vector:
    """A place as it is written, in millimetres: forward, to the left, up.

    Raises:
        QuantityError: it has not three lengths.
    """
    parts = text.split(",")
    if len(parts) != 3:
        raise GeometryError(say("%(code)s: a place has three figures: forward, to the left, up", code=code))
    return _mm(parts[0]), _mm(parts[1]), _mm(parts[2])


def _mm(text: str) -> float:
    """A length with its sign and unit, in millimetres."""
    bare = text.strip().replace("−", "-")
    sign = -1.0 if bare.startswith("-") else 1.0
    found: Quantity = parse_quantity(bare.lstrip("-").strip())
    if found.dimension is not Dimension.LENGTH:
        raise QuantityError(say("“%(text)s” is no length", text=text.strip()))
    return sign * float(found.to("mm").value)
