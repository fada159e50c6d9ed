"""The holes of an operation in a file: size, walls, what goes through, where they are measured."""

from typing import Any

from django.utils.translation import gettext as _

from jobs.judging.questions import said
from jobs.procedures.file.data import HoleData, WallData
from jobs.procedures.file.fields import Faults, Fields
from shop.engineering.errors import QuantityError
from shop.engineering.holes.spindle import Work
from shop.engineering.quantities.measures import Dimension
from shop.engineering.quantities.reader import parse_quantity
from shop.models import ToolKind

LONGEST_NAME = 80
LONGEST_SIZE = 30
MOST_HOLES = 999
MOST_WALLS = 8
TOOLS = (ToolKind.DRILL.value, ToolKind.HOLE_SAW.value, ToolKind.SPOT_WELD_CUTTER.value)
WORKS = tuple(work.value for work in Work)
HOLE_KEYS = (
    *("name", "size", "count", "work", "tool", "walls", "takes", "takes_size", "held"),
    *("measured", "offset", "edge", "edge_measured"),
)
WALL_KEYS = ("name", "thickness", "work", "size")
SIZES = ("size", "takes_size", "edge", "thickness")


def read_holes(fields: Fields, faults: Faults) -> tuple[HoleData, ...]:
    """The holes of an operation; what is wrong with them is added to `faults`."""
    found = []
    for number, table in enumerate(fields.tables("holes"), start=1):
        inner = Fields(
            table, _("%(operation)s hole %(number)d") % {"operation": fields.name, "number": number}, faults
        )
        inner.refuse_unknown(HOLE_KEYS)
        found.append(_hole(inner, faults))
    return tuple(found)


def _hole(fields: Fields, faults: Faults) -> HoleData:
    hole = HoleData(
        name=fields.text("name", longest=LONGEST_NAME, required=True),
        size=_size(fields, "size", required=True),
        count=fields.whole("count", low=1, high=MOST_HOLES),
        work=fields.choice("work", WORKS),
        tool=fields.choice("tool", TOOLS),
        walls=_walls(fields, faults),
        takes=fields.text("takes", longest=LONGEST_NAME),
        takes_size=_size(fields, "takes_size"),
        held=fields.yes_no("held"),
        measured=fields.text("measured", longest=LONGEST_SIZE),
        offset=fields.text("offset", longest=LONGEST_SIZE),
        edge=_size(fields, "edge"),
        edge_measured=fields.text("edge_measured", longest=LONGEST_SIZE),
        lines=fields.table.key_lines,
    )
    if bool(hole.takes) != bool(hole.takes_size):
        given, missing = ("takes", "takes_size") if hole.takes else ("takes_size", "takes")
        fields.fault(given, _("says nothing without “%(missing)s”") % {"missing": missing})
    return hole


def _walls(fields: Fields, faults: Faults) -> tuple[WallData, ...]:
    found: list[WallData] = []
    for table in fields.tables("walls", longest=MOST_WALLS):
        inner = Fields(table, f"{fields.name} walls", faults)
        inner.refuse_unknown(WALL_KEYS)
        wall = WallData(
            name=inner.text("name", longest=LONGEST_NAME, required=True),
            thickness=_size(inner, "thickness"),
            work=inner.choice("work", WORKS),
            size=_size(inner, "size"),
        )
        if wall.name and wall.name in {other.name for other in found}:
            inner.fault("name", _("names “%(word)s” twice") % {"word": wall.name})
        found.append(wall)
    return tuple(found)


def _size(fields: Fields, key: str, *, required: bool = False) -> str:
    """A length above nothing, as it was written."""
    text = fields.text(key, longest=LONGEST_SIZE, required=required)
    if not text:
        return ""
    try:
        found = parse_quantity(text)
    except QuantityError as error:
        fields.fault(key, said(error))
        return ""
    if found.dimension is not Dimension.LENGTH or found.value <= 0:
        fields.fault(key, _("is a length, such as 1 1/8 in"))
    return text


def hole_as_kept(hole: HoleData) -> dict[str, Any]:
    """A hole as file and row write it: what is said, in one order."""
    pairs: dict[str, Any] = {
        **{key: getattr(hole, key) for key in ("name", "size")},
        "count": "" if hole.count is None else str(hole.count),
        **{key: getattr(hole, key) for key in ("work", "tool")},
        "walls": [_filled({key: getattr(wall, key) for key in WALL_KEYS}) for wall in hole.walls],
        **{key: getattr(hole, key) for key in ("takes", "takes_size")},
        "held": "yes" if hole.held else "",
        **{key: getattr(hole, key) for key in ("measured", "offset", "edge", "edge_measured")},
    }
    return _filled(pairs)


def hole_of_kept(kept: dict[str, Any]) -> HoleData:
    """The hole that `hole_as_kept` wrote."""
    plain = {key: value for key, value in kept.items() if key not in ("count", "walls", "held")}
    return HoleData(
        **plain,
        count=int(kept["count"]) if kept.get("count") else None,
        walls=tuple(WallData(**wall) for wall in kept.get("walls", ())),
        held=kept.get("held") == "yes",
    )


def _filled(pairs: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in pairs.items() if value not in ("", [])}
