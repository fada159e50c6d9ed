"""A procedure as its page shows it: saved or only read, by stages, with what cannot be proved here today."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.judging.cradle_picture import CradlePicture
from jobs.judging.layout_picture import LayoutPicture, draw_layout
from jobs.judging.layouts import Layout
from jobs.judging.limits import AS_WRITTEN, LimitWords, limit_words, parsed
from jobs.judging.weld_picture import DrawnView
from jobs.models.procedures import CheckpointKind, Flag, Joint, Proves, Stage
from jobs.procedures.draft_drawing import DraftWeld, draw_cradle_of, draw_weld_map
from jobs.procedures.draft_shapes import HOLES
from jobs.procedures.file import CheckpointData, OperationData, ProcedureData
from jobs.procedures.file.holes import hole_as_kept
from jobs.procedures.provability import Survey, survey
from jobs.procedures.table_words import row_words, rows_by_name
from shop.engineering.limits.shown import ReadAs
from shop.models import InstrumentKind, ShopSettings, Skill

SIDES = {"left": gettext_lazy("left"), "right": gettext_lazy("right"), "both": gettext_lazy("both sides")}


@dataclass(frozen=True)
class ShownLimit:
    """One limit as written, the same in the other system beside it."""

    label: str
    words: LimitWords


@dataclass(frozen=True)
class CheckpointLine:
    """A checkpoint in the table of its operation."""

    checkpoint: CheckpointData
    limits: tuple[ShownLimit, ...]
    unprovable: tuple[str, ...]
    proved_by: tuple[str, ...] = ()

    @property
    def kind(self) -> str:
        return str(CheckpointKind(self.checkpoint.kind).label)

    @property
    def side(self) -> str:
        return str(SIDES.get(self.checkpoint.side, ""))

    @property
    def instruments(self) -> tuple[str, ...]:
        kinds = (self.checkpoint.instrument, self.checkpoint.angle_instrument)
        return tuple(str(InstrumentKind(kind).label) for kind in kinds if kind)

    @property
    def proves(self) -> tuple[str, ...]:
        return tuple(str(Proves(word).label) for word in self.checkpoint.proves)

    @property
    def says(self) -> tuple[str, ...]:
        """What the kind of checkpoint adds, in short lines."""
        return tuple(_says(self.checkpoint))


@dataclass(frozen=True)
class OperationSection:
    """An operation with its checkpoints."""

    operation: OperationData
    lines: tuple[CheckpointLine, ...]

    @property
    def skill(self) -> str:
        return str(Skill(self.operation.skill).label)

    @property
    def holes(self) -> tuple[tuple[str, str], ...]:
        """Each hole that is made in it: what it is for, and all that is said of it."""
        kept = rows_by_name(HOLES, [hole_as_kept(hole) for hole in self.operation.holes])
        return tuple((name, row_words(HOLES, hole)) for name, hole in kept.items())

    @property
    def gates(self) -> tuple[str, ...]:
        return tuple(str(Flag(flag).label) for flag in self.operation.gates)


@dataclass(frozen=True)
class StageSection:
    name: str
    operations: tuple[OperationSection, ...]


@dataclass(frozen=True)
class ProcedurePage:
    """A whole procedure."""

    data: ProcedureData
    stages: tuple[StageSection, ...]
    survey: Survey

    @property
    def drawings(self) -> tuple[LayoutPicture, ...]:
        """Every view of the layout that has marks, each with all of them."""
        return tuple(draw_layout(view) for view in Layout.of(self.data.layout).views if view.marks)

    @property
    def panels(self) -> tuple[DrawnView[DraftWeld], ...]:
        """Every panel of the weld map."""
        return draw_weld_map(self.data.layout.get("weld_map", {})).panels

    @property
    def cradle(self) -> CradlePicture | None:
        """The cradle from above, where it should be."""
        return draw_cradle_of(self.data.layout.get("cradle", {})).cradle

    @property
    def operation_count(self) -> int:
        return len(self.data.operations)

    @property
    def checkpoint_count(self) -> int:
        return sum(len(operation.checkpoints) for operation in self.data.operations)

    @property
    def note(self) -> tuple[str, ...]:
        """The paragraphs of the note; where a line ends inside one is left to the page."""
        return tuple(p for p in (p.strip() for p in self.data.note.split("\n\n")) if p)

    @property
    def hours(self) -> str:
        """The standard time of the whole route."""
        hours, minutes = divmod(sum(operation.minutes for operation in self.data.operations), 60)
        return _("%(hours)d h %(minutes)02d min") % {"hours": hours, "minutes": minutes}


def procedure_page(data: ProcedureData, *, now: dt.datetime, reader: ReadAs = AS_WRITTEN) -> ProcedurePage:
    """The page of a procedure in a reader's units, with what the shop's instruments cannot prove."""
    settings = ShopSettings.current()
    surveyed = survey(data, now=now, settings=settings)
    messages: dict[str, list[str]] = defaultdict(list)
    for found in surveyed.unprovable:
        messages[found.asked.checkpoint.code].append(found.message)
    proofs: dict[str, list[str]] = defaultdict(list)
    for proof in surveyed.proofs:
        if proof.asked.key in {"limit", "equal", "angle"}:
            proofs[proof.asked.checkpoint.code].append(str(proof))
    stages = tuple(
        StageSection(
            str(Stage(stage).label),
            tuple(_section(operation, messages, proofs, settings, reader) for operation in operations),
        )
        for stage, operations in groupby(data.operations, key=lambda operation: operation.stage)
    )
    return ProcedurePage(data, stages, surveyed)


def _section(
    operation: OperationData,
    messages: dict[str, list[str]],
    proofs: dict[str, list[str]],
    settings: ShopSettings,
    reader: ReadAs,
) -> OperationSection:
    lines = tuple(
        CheckpointLine(
            c,
            tuple(_limits(c, settings, reader)),
            tuple(messages.get(c.code, ())),
            tuple(dict.fromkeys(proofs.get(c.code, ()))),
        )
        for c in operation.checkpoints
    )
    return OperationSection(operation, lines)


def _limits(checkpoint: CheckpointData, settings: ShopSettings, reader: ReadAs) -> Iterator[ShownLimit]:
    for label, text in (
        ("", checkpoint.limit),
        (_("then turned"), checkpoint.angle),
        (_("left and right equal within"), checkpoint.equal),
        (_("both readings within"), checkpoint.agree),
    ):
        limits = parsed(text, settings)
        if limits is not None:
            yield ShownLimit(label, limit_words(limits, reader))


def _says(checkpoint: CheckpointData) -> Iterator[str]:
    for text, value in (
        (_("recorded without a limit (unit: %(value)s)"), checkpoint.records),
        (_("%(value)s pieces"), checkpoint.count),
        (_("passes when: %(value)s"), checkpoint.go),
        (_("shows: %(value)s"), checkpoint.shows),
        (_("welded in %(value)s"), checkpoint.made_in),
        (_("second person reads %(value)s again"), checkpoint.witness_of),
        (_("joint: %(value)s"), str(Joint(checkpoint.joint).label) if checkpoint.joint else ""),
        (_("with: %(value)s"), checkpoint.lubricant),
        (_("criteria: %(value)s"), "; ".join(checkpoint.criteria)),
        (_("bolt: %(value)s"), " ".join(filter(None, (checkpoint.thread, checkpoint.grade)))),
        (_("castle nut: forward to the slot, at most %(value)s"), checkpoint.castle_nut),
        (_("prevailing torque added: %(value)s"), checkpoint.prevailing),
        (_("a pattern of %(value)s"), checkpoint.pattern),
        (_("passes: %(value)s"), ", ".join(checkpoint.passes)),
        (_("lowered from %(value)s dry"), checkpoint.lowered_from),
    ):
        if value:
            yield text % {"value": value}
    if checkpoint.is_single_use:
        yield _("new hardware every time")
    if checkpoint.at_ride_height:
        yield _("tightened at ride height")
