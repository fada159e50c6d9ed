"""How one key of a file is filled in at a desk: what it is called, what may stand there, an example."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext_lazy

from jobs.models import Checkpoint, Operation, Procedure, ProcedureRevision
from jobs.procedures.field_words import CHOICES, field_label
from jobs.procedures.file.checkpoints import SINGLE_USE

LINES = frozenset(
    {"steps", "tools", "consumables", "criteria", "after", "cautions", "passes", "bay_features"}
)
WORDS = frozenset({"gates", "proves"})
YES_NO = frozenset({"hold_point", "at_ride_height"})
LONG = frozenset({"vehicle_family", "title", "go", "shows", "name"})
YES = (("yes", gettext_lazy("yes")),)
SIDES = (
    ("left", gettext_lazy("left")),
    ("right", gettext_lazy("right")),
)
OWN_CHOICES: Mapping[str, tuple[tuple[str, Any], ...]] = {
    "side": (*SIDES, ("both", gettext_lazy("both"))),
    "hardware": ((SINGLE_USE, gettext_lazy("single use")),),
}
ONE_TO_A_LINE = gettext_lazy("one to a line")
HINTS: Mapping[str, Any] = {
    "limit": gettext_lazy("as it is written: 31 1/4 ±1/16 in, ≤ 1/8 in, 65 ±10 % lbf·ft"),
    "equal": gettext_lazy("the most it may be: ≤ 1/16 in"),
    "agree": gettext_lazy("the most it may be: ≤ 1/16 in"),
    "angle": gettext_lazy("such as 90 ±10°"),
    "steps": ONE_TO_A_LINE,
    "passes": gettext_lazy("one to a line, the smallest first"),
    "tools": ONE_TO_A_LINE,
    "consumables": ONE_TO_A_LINE,
    "criteria": ONE_TO_A_LINE,
    "bay_features": gettext_lazy("one to a line, in the words of the bays: two-post lift"),
    "cautions": gettext_lazy("one to a line, the signal word first: WARNING: Never under a jack alone"),
    "after": gettext_lazy("codes, one to a line; nothing here means: after the operation above it"),
}


@dataclass(frozen=True)
class Spec:
    """One field.

    Attributes:
        choices: the words of which one may stand there; several where `is_list`.
        among: in place of `choices`, which codes of the draft: "datums", "points", "hot_work", ...
        offered: which words of the draft are offered, though others may be typed.
        is_list: holds several; one to a line where there is nothing to choose from.
        is_loose: one word may stand there bare, several as a list.
        is_long: as wide as the page.
        keeps_lines: the ends of its lines count.
    """

    label: Any
    hint: Any = ""
    choices: tuple[tuple[str, Any], ...] = ()
    among: str = ""
    offered: str = ""
    is_list: bool = False
    is_loose: bool = False
    is_long: bool = False
    keeps_lines: bool = False


def usual_spec(key: str) -> Spec:
    """A field of an operation, a checkpoint or the head."""
    choices: tuple[tuple[str, Any], ...] = ()
    if key in YES_NO:
        choices = YES
    elif key in OWN_CHOICES:
        choices = OWN_CHOICES[key]
    elif key in CHOICES:
        choices = tuple((value, label) for value, label in CHOICES[key].choices if value)
    return Spec(
        field_label(key, Checkpoint, Operation, ProcedureRevision, Procedure),
        HINTS.get(key, ""),
        choices,
        is_list=key in LINES or key in WORDS,
        is_long=key in LONG or key in LINES or key == "note",
        keeps_lines=key == "note",
    )
