"""What a tablet shows at one checkpoint: its figure, what to key, what to confirm, what it came to."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from jobs.bay.joint_panel import JointPanel, joint_panel, passes_confirm
from jobs.bay.mark_panel import MarkPanel, layout_of, mark_panel
from jobs.bay.panel_fields import Choose, Confirm, PickInstrument, ReadingField, Typed
from jobs.bay.panel_instruments import pick_fields
from jobs.bay.panel_readings import choices_at, readings_at
from jobs.bay.position_view import PositionView, position_view
from jobs.gates.fire_watch import fire_watch_not_over, watch_over_at
from jobs.judging.judged_how import judging_words
from jobs.judging.layouts import Layout
from jobs.judging.limits import AS_WRITTEN, LimitWords, limit_words, parsed
from jobs.models import Checkpoint, CheckpointKind, Result
from jobs.record import CheckpointStanding, CheckState, JobRecord
from jobs.standing import shown_verdict
from shop.engineering.limits.shown import ReadAs
from shop.models import Instrument, Tool

SIDES = "both"


@dataclass(frozen=True)
class Panel:
    """One checkpoint as the tablet shows it."""

    standing: CheckpointStanding
    words: LimitWords | None
    second_words: LimitWords | None
    readings: tuple[ReadingField, ...]
    choices: tuple[Choose, ...]
    confirms: tuple[Confirm, ...]
    instruments: tuple[PickInstrument, ...]
    is_hidden: bool
    lapsed: str
    watch: str
    watch_until: dt.datetime | None
    typed: Typed | None
    joint: JointPanel | None = None
    position: PositionView | None = None
    mark: MarkPanel | None = None
    not_these: frozenset[int] = frozenset()

    @property
    def checkpoint(self) -> Checkpoint:
        return self.standing.checkpoint

    @property
    def code(self) -> str:
        return self.checkpoint.code

    @property
    def result(self) -> Result | None:
        return self.standing.current

    @property
    def earlier(self) -> tuple[Result, ...]:
        """The readings that the verdict rests on beside the newest, the oldest first."""
        together = (self.result.decision.get("together") or {}) if self.result else {}
        keys = {row["result"] for row in together.get("earlier", ())}
        return tuple(result for result in self.standing.results if result.pk in keys)

    @property
    def state(self) -> str:
        """The verdict to be shown; one that waits for its witness is not."""
        state = self.standing.state
        if self.is_hidden or state == CheckState.REOPENED:
            return CheckState.OPEN
        return shown_verdict(state, self.result)

    @property
    def is_witness(self) -> bool:
        return self.checkpoint.kind == CheckpointKind.WITNESS

    @property
    def is_photo(self) -> bool:
        return self.checkpoint.kind == CheckpointKind.PHOTO

    @property
    def side(self) -> str:
        """The side of the car that this is about; a pair is about both, each with a reading of its own."""
        return SIDES if self.checkpoint.kind == CheckpointKind.PAIR else self.checkpoint.side

    @property
    def side_words(self) -> str:
        """The side in words, always."""
        return _("left and right") if self.side == SIDES else str(self.checkpoint.get_side_display())

    @property
    def takes_reading(self) -> bool:
        """Whether it is to be read now: open, lapsed, too close, or an answer came back with an error."""
        if self.standing.state == CheckState.DOES_NOT_CONFORM:
            return False
        return not self.standing.is_closed or bool(self.lapsed) or self.typed is not None

    @property
    def judged_how(self) -> str:
        """What a lead decided about a limit that nothing here can prove; or that nobody has yet."""
        decided = judging_words(self.checkpoint)
        asks = self.words is not None and bool(self.instruments)
        if decided or not asks or any(c.proves for p in self.instruments for c in p.usable):
            return decided
        return _("Nothing here can prove this limit: the lead decides how it is judged.")

    @property
    def errors(self) -> Mapping[str, str]:
        return self.typed.errors if self.typed else {}

    @property
    def asks_lubricant(self) -> bool:
        """Whether the figure holds for one lubricant, so that another on the threads is asked for."""
        return self.checkpoint.is_joint and bool(self.checkpoint.lubricant)

    @property
    def other_errors(self) -> tuple[str, ...]:
        """Errors that belong to no field on the panel."""
        shown = {f.name for f in self.readings} | {f.name for f in self.choices}
        shown |= {f.name for f in self.confirms} | {f.name for f in self.instruments}
        shown |= {"reason", "photo", "pin", "person", "used_lubricant", "extension"}
        return tuple(
            text for name, text in self.errors.items() if name not in shown and f"p_{name}" not in shown
        )


def build_panels(
    record: JobRecord,
    standings: Sequence[CheckpointStanding],
    *,
    instruments: Sequence[Instrument],
    typed: Typed | None,
    now: dt.datetime,
    tools: Sequence[Tool] = (),
    reader: ReadAs = AS_WRITTEN,
) -> tuple[Panel, ...]:
    """The panels of an operation as a reader of figures wants them, built without a query."""
    layout = layout_of(record, [_read_as(record, s.checkpoint) for s in standings])
    return tuple(
        _panel(
            record,
            s,
            instruments,
            typed if typed and typed.code == s.code else None,
            now,
            tools,
            reader,
            layout,
        )
        for s in standings
    )


def _panel(
    record: JobRecord,
    standing: CheckpointStanding,
    instruments: Sequence[Instrument],
    typed: Typed | None,
    now: dt.datetime,
    tools: Sequence[Tool],
    reader: ReadAs,
    layout: Layout,
) -> Panel:
    checkpoint, given = standing.checkpoint, typed or Typed(standing.code)
    read = _read_as(record, checkpoint)
    limits, angle = parsed(read.limit, record.settings), parsed(read.angle, record.settings)
    second = parsed(read.equal, record.settings) or angle
    watch, hidden = fire_watch_not_over(record, standing, now=now), record.awaits_witness(standing)
    mark = mark_panel(record, layout, read, None if hidden else standing.current)
    picks = pick_fields(record, standing, read, instruments, given, now, mark.case.unit if mark else "")
    offered = picks[0].choices if picks else ()
    extension = given.values.get("extension", "")
    return Panel(
        standing=standing,
        words=mark.words if mark else limit_words(limits, reader) if limits else None,
        second_words=limit_words(second, reader) if second else None,
        readings=mark.readings(given) if mark else readings_at(read, limits, angle, given, reader),
        choices=choices_at(checkpoint, given),
        confirms=_confirms(checkpoint, given),
        instruments=picks,
        is_hidden=hidden,
        lapsed=record.lapsed(standing, now=now),
        watch=watch.text if watch else "",
        watch_until=watch_over_at(record, standing) if watch else None,
        typed=typed,
        position=None if hidden else position_view(record, standing),
        mark=mark,
        not_these=_who_looks_at_their_own(record, standing),
        joint=joint_panel(checkpoint, record.settings, choices=offered, tools=tools, extension=extension),
    )


def _who_looks_at_their_own(record: JobRecord, standing: CheckpointStanding) -> frozenset[int]:
    """The keys of those who are not offered as a witness, or to judge a weld: it is their own work."""
    checkpoint = standing.checkpoint
    if checkpoint.kind == CheckpointKind.WELD:
        return record.welders(checkpoint.made_in or standing.job_operation.operation.code)
    first = record.find_checkpoint(checkpoint.witness_of)
    return frozenset(result.person_id for result in first.results) if first else frozenset()


def _read_as(record: JobRecord, checkpoint: Checkpoint) -> Checkpoint:
    """What a witness reads is what the first has read."""
    if checkpoint.kind != CheckpointKind.WITNESS:
        return checkpoint
    first = record.find_checkpoint(checkpoint.witness_of)
    return first.checkpoint if first else checkpoint


def _confirms(checkpoint: Checkpoint, typed: Typed) -> tuple[Confirm, ...]:
    if not checkpoint.is_joint:
        return ()
    asked = [("clicked", _("The wrench clicked, or showed this figure"))]
    if checkpoint.lubricant:
        asked.append(("lubricant", _("Done with: %(what)s") % {"what": checkpoint.lubricant}))
    if checkpoint.is_single_use:
        asked.append(("new_hardware", _("The hardware is new: it is single-use")))
    confirms = tuple(
        Confirm(f"p_{name}", label, typed.values.get(name) == "yes", typed.errors.get(name, ""))
        for name, label in asked
    )
    ticked = typed.values.get("passes") == "yes"
    return (
        *confirms,
        *passes_confirm(checkpoint, is_ticked=ticked, error=typed.errors.get("passes", "")),
    )


__all__ = ["Panel", "Typed", "build_panels"]
