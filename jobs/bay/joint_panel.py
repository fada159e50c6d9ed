"""What a tablet shows at a joint before it is tightened: bolt, passes, settings through an extension."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from jobs.bay.panel_fields import Confirm, ReadingField
from jobs.judging.bolts import Bolt, meaning_of
from jobs.judging.castle_nuts import FIELD, slot_unit, slot_words
from jobs.judging.instruments import Choice
from jobs.judging.joints import (
    IN_LINE,
    MEASURED,
    PREVAILING,
    SQUARE,
    Setting,
    settings_for,
    stated_prevailing,
)
from jobs.judging.limits import parsed
from jobs.judging.patterns import Pattern, pattern_at
from jobs.models import Checkpoint
from shop.engineering.limits import Limits
from shop.engineering.quantities.writer import rounded
from shop.models import ShopSettings, Tool, ToolKind


@dataclass(frozen=True)
class ExtensionChoice:
    """An extension that may be on the wrench: its value in the form, and in words."""

    value: str
    label: str


@dataclass(frozen=True)
class JointPanel:
    """A joint on the tablet.

    `bolt` and `meaning` are empty where the procedure does not state the bolt; `meaning` is what the figure
    does to it, before it is tightened.
    """

    bolt: str
    meaning: str
    source: str
    pattern: Pattern | None
    notes: tuple[str, ...]
    extensions: tuple[ExtensionChoice, ...]
    settings: tuple[Setting, ...]
    extension: str = ""


def joint_panel(
    checkpoint: Checkpoint,
    settings: ShopSettings,
    *,
    choices: Sequence[Choice],
    tools: Sequence[Tool],
    extension: str = "",
) -> JointPanel | None:
    """What is to be known at a joint; None at any other checkpoint."""
    limits = parsed(checkpoint.limit, settings)
    if not checkpoint.is_joint or limits is None:
        return None
    figure, turn = limits.nominal or limits.largest, parsed(checkpoint.angle, settings)
    meaning = meaning_of(checkpoint, figure, turn.nominal if turn else None)
    on_wrenches = [tool for tool in tools if tool.kind == ToolKind.EXTENSION]
    usable = [choice for choice in choices if choice.is_usable]
    return JointPanel(
        bolt=str(Bolt.of(checkpoint) or ""),
        meaning=meaning.get("sentence", ""),
        source=meaning.get("source", ""),
        pattern=pattern_at(checkpoint, settings),
        notes=tuple(_notes(checkpoint, limits)),
        extensions=tuple(_extensions(on_wrenches)),
        settings=settings_for(figure, usable, on_wrenches, stated_prevailing(checkpoint)),
        extension=extension,
    )


def _notes(checkpoint: Checkpoint, limits: Limits) -> list[str]:
    notes = []
    if checkpoint.at_ride_height:
        notes.append(_("At ride height only: the car on its wheels, the suspension loaded"))
    if checkpoint.prevailing == MEASURED:
        notes.append(_("The nut is self-locking: measure what it takes running down, and set that on top"))
    stated, figure = stated_prevailing(checkpoint), limits.nominal or limits.largest
    if stated is not None:
        added = figure.value + stated.to(figure.unit).value
        words = {"extra": rounded(stated), "sum": rounded(type(figure)(added, figure.unit))}
        notes.append(_("The nut takes %(extra)s before it seats: set %(sum)s in all") % words)
    if slot_words(checkpoint):
        notes.append(slot_words(checkpoint))
    if checkpoint.lowered_from:
        words = {"dry": checkpoint.lowered_from, "lubricant": checkpoint.lubricant}
        notes.append(_("Lowered once from %(dry)s dry for %(lubricant)s: never lower it again") % words)
    return notes


def _extensions(tools: Sequence[Tool]) -> list[ExtensionChoice]:
    return [
        ExtensionChoice(f"{tool.code}/{degrees}", words % {"tool": tool})
        for tool in tools
        for degrees, words in (
            (IN_LINE, _("%(tool)s, in line with the handle")),
            (SQUARE, _("%(tool)s, square to the handle: nothing changes")),
        )
    ]


def joint_fields(checkpoint: Checkpoint, unit: str) -> tuple[tuple[str, str, str], ...]:
    """What is keyed at a joint beside the figure: name, label, unit; before and after it in that order."""
    found = []
    if checkpoint.prevailing == MEASURED:
        found.append((PREVAILING, _("Running down it took"), unit))
    if checkpoint.castle_nut:
        found.append((FIELD, _("On to the slot by"), slot_unit(checkpoint)))
    return tuple(found)


def with_joint_fields(
    fields: tuple[ReadingField, ...], more: Sequence[ReadingField]
) -> tuple[ReadingField, ...]:
    """In the order of the work: running down, the figure, the turn, the slot."""
    before = tuple(f for f in more if f.name == f"p_{PREVAILING}")
    return (*before, *fields, *(f for f in more if f not in before))


def passes_confirm(checkpoint: Checkpoint, *, is_ticked: bool, error: str) -> tuple[Confirm, ...]:
    if not checkpoint.pattern:
        return ()
    return (Confirm("p_passes", _("All passes made in their order"), is_ticked, error),)
