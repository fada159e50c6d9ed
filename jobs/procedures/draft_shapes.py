"""The tables of a procedure file, one inside of the other: which keys each takes, which lists it holds.

Whatever the reader of files knows has its place here, so that it has its fields in the browser. Pure.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from django.utils.translation import gettext_lazy

from jobs.judging.cradle import PLACE_KEYS, READING_KEYS
from jobs.judging.layouts import CENTRE_LINE, CUT_LINE, HOLE
from jobs.judging.layouts import KIND_WORDS as MARK_WORDS
from jobs.judging.weld_map import KIND_WORDS as WELD_WORDS
from jobs.judging.weld_map import PLUG, SEAM, WELD_KEYS
from jobs.models import CheckpointKind
from jobs.procedures.field_specs import Spec
from jobs.procedures.file.holes import HOLE_KEYS, WALL_KEYS
from jobs.procedures.file.kinds import COMMON, EVERY_KEY, KEYS
from jobs.procedures.file.layout import DATUM_KEYS, LINE_KEYS, VIEW_KEYS
from jobs.procedures.file.layout import HOLE_KEYS as HOLE_MARK_KEYS
from jobs.procedures.file.reading import OPERATION_KEYS, PROCEDURE_KEYS
from jobs.procedures.mark_specs import CRADLE_SPECS, DATUM, MARK, PLACE, READING, VIEW
from jobs.procedures.weld_specs import HANDOVER_SPECS, HOLE_SPECS, WALL, WELD, WELD_MAP_SPECS

Tree = dict[str, Any]


@dataclass(frozen=True)
class Shape:
    """One table: its own keys, and what lies in it.

    Attributes:
        pages: lists whose rows have a page each.
        rows: lists that are filled in row by row on the page of the table itself.
        tables: tables of their own beneath a key.
        kinds: of which kinds a row may be added; the first code of each kind where there is none yet.
        copied: what a row that is added takes over from the one before it.
    """

    word: Any
    keys: tuple[str, ...]
    specs: Mapping[str, Spec] = field(default_factory=dict)
    pages: Mapping[str, "Shape"] = field(default_factory=dict)
    rows: Mapping[str, "Shape"] = field(default_factory=dict)
    tables: Mapping[str, "Shape"] = field(default_factory=dict)
    kinds: tuple[tuple[str, Any], ...] = ()
    first_codes: Mapping[str, str] = field(default_factory=dict)
    copied: tuple[str, ...] = ()
    by_kind: Callable[[Tree], tuple[str, ...]] | None = None

    @property
    def is_coded(self) -> bool:
        """Whether its rows are known by codes; else by their number."""
        return "code" in self.keys

    @property
    def lists(self) -> dict[str, "Shape"]:
        return {**self.pages, **self.rows}

    def keys_of(self, part: Tree) -> tuple[str, ...]:
        """The keys that have a field: those of its kind, and those that stand there though not of it."""
        kept = self.by_kind(part) if self.by_kind else self.keys
        known = sorted(kept, key=list(self.specs).index) if self.specs else kept
        return (*known, *(key for key in part if key in self.keys and key not in known))


def _checkpoint_keys(part: Tree) -> tuple[str, ...]:
    kind = KEYS.get(str(part.get("kind", "")))
    return kind.all if kind else COMMON


def _mark_keys(part: Tree) -> tuple[str, ...]:
    return HOLE_MARK_KEYS if part.get("kind") == HOLE else LINE_KEYS


def _weld_keys(part: Tree) -> tuple[str, ...]:
    """A plug weld is at a place, a seam goes from one to another."""
    gone = {PLUG: {"from", "to"}, SEAM: {"at"}}.get(str(part.get("kind", "")), set())
    return tuple(key for key in WELD_KEYS if key not in gone)


def _without(keys: tuple[str, ...], *gone: str) -> tuple[str, ...]:
    return tuple(key for key in keys if key not in gone)


CODE_ONLY = {"": "P1"}
DATUMS = Shape(gettext_lazy("datum"), DATUM_KEYS, DATUM, first_codes={"": "A"})
MARKS = Shape(
    gettext_lazy("mark"),
    tuple(dict.fromkeys((*LINE_KEYS, *HOLE_MARK_KEYS))),
    MARK,
    kinds=tuple(MARK_WORDS.items()),
    first_codes={CUT_LINE: "C1", HOLE: "H1", CENTRE_LINE: "L1"},
    by_kind=_mark_keys,
)
VIEWS = Shape(
    gettext_lazy("view"),
    _without(VIEW_KEYS, "datums", "marks"),
    VIEW,
    pages={"marks": MARKS},
    rows={"datums": DATUMS},
    first_codes={"": "V1"},
)
WELDS = Shape(
    gettext_lazy("weld"),
    WELD_KEYS,
    WELD,
    kinds=tuple(WELD_WORDS.items()),
    first_codes={PLUG: "P1", SEAM: "S1"},
    copied=_without(WELD_KEYS, "code", "kind", "at", "from", "to"),
    by_kind=_weld_keys,
)
WELD_MAP = Shape(gettext_lazy("weld map"), ("thickness",), WELD_MAP_SPECS, pages={"welds": WELDS})
CRADLE = Shape(
    gettext_lazy("cradle"),
    ("track",),
    CRADLE_SPECS,
    rows={
        "points": Shape(gettext_lazy("point of the cradle"), PLACE_KEYS, PLACE, first_codes=CODE_ONLY),
        "references": Shape(gettext_lazy("reference on the body"), PLACE_KEYS, PLACE, first_codes={"": "R1"}),
        "readings": Shape(gettext_lazy("reading"), READING_KEYS, READING, first_codes={"": "D1"}),
    },
)
WALLS = Shape(gettext_lazy("wall"), WALL_KEYS, WALL)
HOLES = Shape(gettext_lazy("hole"), _without(HOLE_KEYS, "walls"), HOLE_SPECS, rows={"walls": WALLS})
CHECKPOINT = Shape(
    gettext_lazy("checkpoint"), EVERY_KEY, kinds=tuple(CheckpointKind.choices), by_kind=_checkpoint_keys
)
OPERATION = Shape(
    gettext_lazy("operation"),
    _without(OPERATION_KEYS, "checkpoints", "holes"),
    pages={"checkpoints": CHECKPOINT, "holes": HOLES},
)
HEAD = Shape(gettext_lazy("what it says of itself"), _without(PROCEDURE_KEYS, "code", "revision"))
LAYOUT = Shape(
    gettext_lazy("layout"), (), pages={"views": VIEWS}, tables={"weld_map": WELD_MAP, "cradle": CRADLE}
)
HANDOVER = Shape(
    gettext_lazy("handover"),
    (),
    rows={
        "come_back": Shape(gettext_lazy("visit"), ("after", "what"), HANDOVER_SPECS),
        "cautions": Shape(gettext_lazy("caution"), ("signal", "text"), HANDOVER_SPECS),
    },
)
ROOT = Shape(
    gettext_lazy("draft"),
    (),
    pages={"operations": OPERATION},
    tables={"procedure": HEAD, "layout": LAYOUT, "handover": HANDOVER},
)
