"""The weld map of a procedure: seams and plug welds with identities, where they are, who looks at them."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext_lazy

from jobs.models import CheckpointKind
from jobs.record import JobRecord
from shop.engineering.errors import GeometryError
from shop.engineering.quantities import Dimension, QuantityError, parse_quantity
from shop.engineering.welds.arc import ArcProcess
from shop.engineering.welds.order import WeldPlace
from shop.engineering.words import say

PLUG, SEAM = "plug", "seam"
KIND_WORDS = {PLUG: gettext_lazy("plug weld"), SEAM: gettext_lazy("seam")}
WELD_KEYS = (
    *("code", "kind", "made_in", "tacked_in", "inspected_at", "side", "view", "at", "from", "to"),
    *("size", "thickness", "process", "group"),
)
PROCESSES = tuple(process.value for process in ArcProcess)
# Heat in the sheet where the map gives none: a plug, and a millimetre of a seam, on thin metal with GMAW.
PLUG_J, SEAM_J_PER_MM = 4000.0, 350.0
PLUG_MINUTES, MINUTES_PER_MM = 0.75, 0.012
MOST = 200


@dataclass(frozen=True)
class MappedWeld:
    """One weld of the map, its places in millimetres in its view.

    `group`: every weld of a lower group is made before it; 0 where the map says nothing.
    """

    code: str
    kind: str
    made_in: str
    tacked_in: str
    inspected_at: str
    side: str
    view: str
    start: tuple[float, float]
    end: tuple[float, float]
    size: str
    thickness_mm: float
    process: str = ""
    group: int = 0

    @property
    def kind_words(self) -> str:
        return str(KIND_WORDS[self.kind])

    @property
    def is_plug(self) -> bool:
        return self.kind == PLUG

    @property
    def place(self) -> WeldPlace:
        """As the cooling model sees it."""
        middle = ((self.start[0] + self.end[0]) / 2, (self.start[1] + self.end[1]) / 2)
        length = abs(self.end[0] - self.start[0]) + abs(self.end[1] - self.start[1])
        heat = PLUG_J if self.is_plug else max(PLUG_J, SEAM_J_PER_MM * length)
        minutes = PLUG_MINUTES if self.is_plug else max(PLUG_MINUTES, MINUTES_PER_MM * length)
        panel = f"{self.view} {self.side}"
        return WeldPlace(self.code, panel, self.side, middle, heat, minutes, self.thickness_mm, self.group)


def read_welds(kept: Mapping[str, Any]) -> tuple[MappedWeld, ...]:
    """The welds of a map as they are kept.

    Raises:
        QuantityError: a weld without code, kind or place; a code twice; a figure that is none.
    """
    rows = kept.get("welds", ())
    if not isinstance(rows, Sequence) or isinstance(rows, str) or not 0 < len(rows) <= MOST:
        raise GeometryError(say("a weld map names from 1 to %(most)d welds", most=MOST))
    usual = str(kept.get("thickness", "1/8 in"))
    found = tuple(read_weld(row, usual) for row in rows)
    codes = [weld.code for weld in found]
    twice = next((code for code in codes if codes.count(code) > 1), "")
    if twice:
        raise GeometryError(say("%(code)s stands twice; each weld has a code of its own", code=twice))
    return found


def welds_made_in(record: JobRecord, code: str) -> tuple[MappedWeld, ...]:
    """The welds of the map that are tacked or made in an operation of a car's route."""
    return tuple(w for w in welds_of(record) if code in {w.made_in, w.tacked_in})


def welds_of(record: JobRecord) -> tuple[MappedWeld, ...]:
    """Every weld of the map, as the checkpoints carry them at which they are looked at."""
    kept = (c.checkpoint.frame for c in record.checkpoints if c.checkpoint.kind == CheckpointKind.WELD)
    return tuple(weld for frame in kept if frame for weld in read_welds(frame))


def part_of_map(layout: Mapping[str, Any], checkpoint: str) -> dict[str, Any]:
    """What a weld checkpoint carries of the map: the welds that are looked at there."""
    whole = layout.get("weld_map", {})
    rows = whole.get("welds", ()) if isinstance(whole, Mapping) else ()
    here = [row for row in _tables(rows) if row.get("inspected_at") == checkpoint]
    return {**whole, "welds": here} if here else {}


def _tables(rows: Any) -> Iterable[Mapping[str, Any]]:
    return (row for row in rows if isinstance(row, Mapping)) if isinstance(rows, Sequence) else ()


def read_weld(row: Any, usual: str) -> MappedWeld:
    """One weld as it is kept; `usual`: the thickness of the sheet where the weld names none.

    Raises:
        QuantityError: without code, kind or place; a figure that is none.
    """
    if not isinstance(row, Mapping):
        raise GeometryError(say("each weld has keys of its own: code, kind, made_in, inspected_at, view, at"))
    code = str(row.get("code", ""))
    _require_words(row, code)
    kind = str(row["kind"])
    ends = ("at", "at") if kind == PLUG else ("from", "to")
    start, end = (_place(str(row.get(key, "")), code) for key in ends)
    words = (str(row.get(key, "")) for key in ("made_in", "tacked_in", "inspected_at", "side", "view"))
    made_in, tacked_in, inspected_at, side, view = words
    thickness = _mm(str(row.get("thickness", usual)), code)
    return MappedWeld(
        code, kind, made_in, tacked_in, inspected_at, side, view, start, end,
        str(row.get("size", "")), thickness, str(row.get("process", "")), int(row.get("group") or 0),
    )  # fmt: skip


def _require_words(row: Mapping[str, Any], code: str) -> None:
    """What a weld must say, and the words that it may not."""
    unknown = [key for key in row if key not in WELD_KEYS]
    if unknown:
        raise GeometryError(say("%(code)s: “%(key)s” is no word of a weld", code=code, key=unknown[0]))
    if not code.isalnum() or len(code) > 8:
        raise GeometryError(say("“%(code)s” is no code of a weld; write it like P12", code=code))
    for key in ("made_in", "inspected_at", "view"):
        if not row.get(key):
            raise GeometryError(say("%(code)s: “%(key)s” is missing", code=code, key=key))
    if str(row.get("kind", "")) not in KIND_WORDS:
        raise GeometryError(say("%(code)s: a weld is a plug or a seam", code=code))
    if str(row.get("side", "")) not in {"", "left", "right"}:
        raise GeometryError(say("%(code)s: the side is left or right", code=code))
    if not str(row.get("group") or "0").isdecimal():
        raise GeometryError(say("%(code)s: the group is a whole number", code=code))


def _place(text: str, code: str) -> tuple[float, float]:
    parts = text.split(",")
    if len(parts) != 2:
        raise GeometryError(say("%(code)s: a place has two figures, along and across its view", code=code))
    return _mm(parts[0], code), _mm(parts[1], code)


def _mm(text: str, code: str) -> float:
    found = parse_quantity(text.strip())
    if found.dimension is not Dimension.LENGTH:
        raise QuantityError(say("%(code)s: “%(text)s” is no length", code=code, text=text.strip()))
    return float(found.to("mm").value)
