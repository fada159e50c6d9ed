"""The fields of a weld map, of the holes of an operation, of what is told at handover."""

from collections.abc import Mapping

from django.utils.translation import gettext_lazy

from jobs.judging.weld_map import KIND_WORDS
from jobs.procedures.field_specs import SIDES, YES, Spec
from jobs.procedures.file.holes import TOOLS, WORKS
from jobs.procedures.file.reading import SIGNALS
from jobs.procedures.mark_specs import CODE
from shop.engineering.welds.arc import ArcProcess
from shop.models import ToolKind

A_PLACE = gettext_lazy("along its panel, then down it: 2 1/2 in, 1 in")
WORK = tuple((word, word) for word in WORKS)

WELD_MAP_SPECS: Mapping[str, Spec] = {
    "thickness": Spec(gettext_lazy("thickness of the sheet"), gettext_lazy("where a weld says nothing else")),
}
WELD: Mapping[str, Spec] = {
    "code": CODE,
    "kind": Spec(gettext_lazy("kind"), choices=tuple(KIND_WORDS.items())),
    "view": Spec(gettext_lazy("panel"), gettext_lazy("such as: outer face"), offered="panels"),
    "side": Spec(gettext_lazy("side"), choices=SIDES),
    "at": Spec(gettext_lazy("centre at"), A_PLACE),
    "from": Spec(gettext_lazy("from"), A_PLACE),
    "to": Spec(gettext_lazy("to"), A_PLACE),
    "size": Spec(gettext_lazy("size"), gettext_lazy("such as 3/16 in for a fillet, 1/2 in for a plug")),
    "thickness": Spec(gettext_lazy("thickness of the sheet"), gettext_lazy("empty means: that of the map")),
    "process": Spec(
        gettext_lazy("process"), choices=tuple((process.value, process.value) for process in ArcProcess)
    ),
    "group": Spec(
        gettext_lazy("group in the order"),
        gettext_lazy("1 is welded before 2, and so on; within a group the coolest place is next"),
    ),
    "made_in": Spec(gettext_lazy("welded in"), among="hot_work"),
    "tacked_in": Spec(gettext_lazy("tacked in"), among="hot_work"),
    "inspected_at": Spec(gettext_lazy("looked at"), among="weld_checkpoints"),
}
HOLE_SPECS: Mapping[str, Spec] = {
    "name": Spec(gettext_lazy("what it is for"), is_long=True),
    "size": Spec(gettext_lazy("size"), gettext_lazy("such as 1 1/4 in")),
    "count": Spec(gettext_lazy("how many")),
    "work": Spec(gettext_lazy("metal"), gettext_lazy("empty means: mild steel"), choices=WORK),
    "tool": Spec(gettext_lazy("tool"), choices=tuple((word, ToolKind(word).label) for word in TOOLS)),
    "takes": Spec(gettext_lazy("what goes through"), gettext_lazy("such as: sleeve")),
    "takes_size": Spec(gettext_lazy("its largest diameter"), gettext_lazy("such as 1 3/16 in")),
    "held": Spec(gettext_lazy("held by one part"), choices=YES),
    "measured": Spec(gettext_lazy("measured at"), among="lengths"),
    "offset": Spec(gettext_lazy("position measured at"), among="lengths"),
    "edge": Spec(gettext_lazy("centre from the edge"), gettext_lazy("such as 1 3/4 in")),
    "edge_measured": Spec(gettext_lazy("edge measured at"), among="lengths"),
}
WALL: Mapping[str, Spec] = {
    "name": Spec(gettext_lazy("wall"), gettext_lazy("such as: outer wall")),
    "thickness": Spec(gettext_lazy("thickness")),
    "work": Spec(gettext_lazy("metal"), choices=WORK),
    "size": Spec(gettext_lazy("size"), gettext_lazy("empty means: that of the hole")),
}
HANDOVER_SPECS: Mapping[str, Spec] = {
    "after": Spec(gettext_lazy("after"), gettext_lazy("such as: 100 miles, 3 months")),
    "what": Spec(gettext_lazy("for what"), is_long=True),
    "signal": Spec(gettext_lazy("signal word"), choices=tuple((word, word) for word in SIGNALS)),
    "text": Spec(gettext_lazy("text"), is_long=True),
}
