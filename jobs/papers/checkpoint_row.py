"""One checkpoint as the traveler prints it: its limit, and its result or the boxes to write one in."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from jobs.bay.joint_panel import joint_fields
from jobs.bay.mark_panel import MarkPanel, layout_of, mark_panel
from jobs.bay.position_panel import position_labels
from jobs.bay.position_view import position_view
from jobs.judging.castle_nuts import slot_words
from jobs.judging.judged_how import judging_words
from jobs.judging.limits import LimitWords, limit_words, parsed
from jobs.judging.read_again import how_often
from jobs.models import Checkpoint, CheckpointKind, OperationState, Proves, Result
from jobs.papers.judged_by import as_judged
from jobs.record import CheckpointStanding, CheckState, JobRecord
from jobs.standing import shown_verdict
from shop.engineering.joints.wrenches import tightening_order
from shop.engineering.quantities.measures import Quantity
from shop.engineering.quantities.writer import rounded
from shop.templatetags.quantities import describe_readings


@dataclass(frozen=True)
class Box:
    """A box to write in, with the words before and after it; or one to tick."""

    label: str
    unit: str = ""
    is_tick: bool = False


@dataclass(frozen=True)
class Printed:
    """A result in force, as it stands in its box."""

    reading: str
    verdict: str
    instruments: str
    by: str
    result: Result
    remark: str = ""


@dataclass(frozen=True)
class CheckpointRow:
    """A row of the traveler. `hidden` says why a result is there and not shown; `note` what came before;
    `again` where the work was done once more, after which what was proved here counts no longer."""

    checkpoint: Checkpoint
    limits: tuple[tuple[str, LimitWords], ...]
    demand: str
    remarks: tuple[str, ...]
    boxes: tuple[Box, ...]
    instruments: tuple[str, ...]
    printed: Printed | None
    hidden: str
    note: str
    again: str = ""
    mark: MarkPanel | None = None

    @property
    def drawn(self) -> MarkPanel | None:
        """The mark, to be drawn once: beside the first reading and not beside its witness."""
        return self.mark if self.checkpoint.kind == CheckpointKind.MARK else None


def row_of(record: JobRecord, standing: CheckpointStanding) -> CheckpointRow:
    """What one checkpoint of a job says, without a query."""
    checkpoint = standing.checkpoint
    read = _read_as(record, checkpoint)
    hidden = record.awaits_witness(standing)
    mark = mark_panel(record, layout_of(record, [read]), read, None)
    return CheckpointRow(
        checkpoint=checkpoint,
        limits=(*((("", mark.words),) if mark else ()), *_limits(record, standing, read)),
        demand=_demand(checkpoint, read),
        remarks=(*_remarks(checkpoint, standing), *position_remarks(record, standing)),
        boxes=_mark_boxes(mark) if mark else _boxes(record, read),
        instruments=_instruments(read),
        printed=None if hidden else _printed(standing),
        hidden=_("Read; hidden until the second person has read it") if hidden else "",
        note=_note(standing),
        again=_again(record, standing),
        mark=mark,
    )


def _read_as(record: JobRecord, checkpoint: Checkpoint) -> Checkpoint:
    """A witness reads what the first has read, inside of the same limits."""
    if checkpoint.kind != CheckpointKind.WITNESS:
        return checkpoint
    first = record.find_checkpoint(checkpoint.witness_of)
    return first.checkpoint if first else checkpoint


def _limits(
    record: JobRecord, standing: CheckpointStanding, read: Checkpoint
) -> tuple[tuple[str, LimitWords], ...]:
    """Each limit with the words before it, the main one without where it is the procedure's."""
    written = (
        (_own_words(standing), read.limit),
        (_("left and right equal"), read.equal),
        (pgettext("joint", "then turn"), read.angle),
        (_("both readings agree"), standing.checkpoint.agree),
    )
    found = ((label, parsed(text, record.settings)) for label, text in written)
    judged = ((label, as_judged(limits, standing)) for label, limits in found if limits is not None)
    return tuple((label, limit_words(limits)) for label, limits in judged)


def _own_words(standing: CheckpointStanding) -> str:
    own = standing.deviation
    return _("limit of deviation D%(number)d") % {"number": own.number} if own and own.limit else ""


def _demand(checkpoint: Checkpoint, read: Checkpoint) -> str:
    """What is asked where there is no limit with figures."""
    if checkpoint.kind == CheckpointKind.COUNT:
        return _("%(count)s pieces") % {"count": checkpoint.count}
    if checkpoint.kind == CheckpointKind.FIT:
        return checkpoint.go
    if checkpoint.kind == CheckpointKind.PHOTO:
        return _("Photo: %(shows)s") % {"shows": checkpoint.shows}
    if read.records and not read.limit:
        return _("Recorded, no limit")
    return ""


def _remarks(checkpoint: Checkpoint, standing: CheckpointStanding) -> list[str]:
    remarks, deviation = [], standing.deviation
    if judging_words(checkpoint):
        remarks.append(judging_words(checkpoint))
    if deviation is not None:
        words = {"number": deviation.number, "text": deviation.text, "who": deviation.person}
        remarks.append(_("Deviation D%(number)d for this car (%(who)s): %(text)s.") % words)
    if standing.procedure_limit:
        asked = {"limit": standing.procedure_limit}
        remarks.append(_("The procedure itself asks for %(limit)s.") % asked)
    if checkpoint.kind == CheckpointKind.WITNESS:
        remarks.append(
            _("A second person's own reading of %(first)s, with their PIN.")
            % {"first": checkpoint.witness_of}
        )
    if checkpoint.lubricant:
        remarks.append(_("Lubricant or threadlocker: %(what)s.") % {"what": checkpoint.lubricant})
    remarks += _joint_remarks(checkpoint)
    if checkpoint.is_single_use:
        remarks.append(_("Single-use hardware: fit new."))
    if checkpoint.at_ride_height:
        remarks.append(_("Tighten at ride height only."))
    if checkpoint.made_in:
        remarks.append(
            _("Welded in %(operation)s; looked at by somebody else than the welder.")
            % {"operation": checkpoint.made_in}
        )
    remarks += [_("Proves: %(what)s.") % {"what": Proves(word).label} for word in checkpoint.proves]
    return remarks


def _joint_remarks(checkpoint: Checkpoint) -> list[str]:
    """How it is tightened, where that takes more than the figure."""
    remarks = []
    slot = slot_words(checkpoint)
    if slot:
        remarks.append(f"{capfirst(slot)}.")
    if checkpoint.prevailing:
        remarks.append(_("Prevailing torque is set on top: %(what)s.") % {"what": checkpoint.prevailing})
    if checkpoint.pattern:
        order = " · ".join(str(number) for number in tightening_order(checkpoint.pattern))
        passes = ", ".join(checkpoint.passes) or _("a third, two thirds, whole, whole")
        remarks.append(_("Passes: %(passes)s; order %(order)s.") % {"passes": passes, "order": order})
    if checkpoint.lowered_from:
        remarks.append(_("Lowered once from %(dry)s dry.") % {"dry": checkpoint.lowered_from})
    return remarks


def _joint_boxes(checkpoint: Checkpoint, unit: str) -> tuple[Box, ...]:
    more = tuple(Box(label, unit) for _name, label, unit in joint_fields(checkpoint, unit))
    return (*more, *((Box(_("all passes"), is_tick=True),) if checkpoint.pattern else ()))


def _mark_boxes(mark: MarkPanel) -> tuple[Box, ...]:
    """A box for each reading, numbered as in the drawing."""
    return tuple(Box(f"{n}", mark.case.unit) for n, _asked in enumerate(mark.case.asked, start=1))


def _boxes(record: JobRecord, read: Checkpoint) -> tuple[Box, ...]:
    limits = parsed(read.limit, record.settings)
    unit = limits.unit if limits else read.records
    angle = parsed(read.angle, record.settings)
    kinds: dict[str, tuple[Box, ...]] = {
        CheckpointKind.DIMENSION: (Box("", unit),),
        CheckpointKind.PAIR: (Box(_("left"), unit), Box(_("right"), unit)),
        CheckpointKind.TORQUE: (
            Box(_("set to"), unit),
            Box(_("clicked"), is_tick=True),
            *_joint_boxes(read, unit),
        ),
        CheckpointKind.TORQUE_ANGLE: (
            Box(_("set to"), unit),
            Box(_("clicked"), is_tick=True),
            Box(_("turned"), angle.unit if angle else ""),
            *_joint_boxes(read, unit),
        ),
        CheckpointKind.WELD: tuple(Box(text, is_tick=True) for text in read.criteria),
        CheckpointKind.COUNT: (Box("", _("pieces")),),
        CheckpointKind.FIT: (Box(_("passes"), is_tick=True), Box(_("does not pass"), is_tick=True)),
        CheckpointKind.PHOTO: (Box(_("taken"), is_tick=True),),
        CheckpointKind.WITNESS: (Box("", unit),),
        CheckpointKind.POSITION: position_boxes(read) if read.kind == CheckpointKind.POSITION else (),
        CheckpointKind.MARK: (Box("", unit),),
    }
    return kinds[read.kind]


def position_remarks(record: JobRecord, standing: CheckpointStanding) -> tuple[str, ...]:
    """How the cradle moved since it was measured before, and what that adds at the wheels."""
    view = None if record.awaits_witness(standing) else position_view(record, standing)
    if view is None:
        return ()
    told = (str(view.result.decision.get("explanation", "")), *view.since, view.effects)
    return tuple(text for text in told if text)


def position_boxes(read: Checkpoint) -> tuple[Box, ...]:
    """A box for each reading of a cradle; what cannot be read stays empty."""
    return tuple(Box(label, unit) for label, unit in position_labels(read))


def _instruments(read: Checkpoint) -> tuple[str, ...]:
    names = (read.get_instrument_kind_display(), read.get_angle_instrument_kind_display())
    return tuple(capfirst(str(name)) for name in names if name)


def _printed(standing: CheckpointStanding) -> Printed | None:
    result = standing.current
    if result is None:
        return None
    instruments = [i.code for i in (result.instrument, result.angle_instrument) if i is not None]
    remark = _bolt_remark(result.decision) or how_often(result.decision)
    if standing.state == CheckState.ACCEPTED:
        remark = _("Accepted by %(who)s: %(reason)s") % {
            "who": result.acceptance.person,
            "reason": result.acceptance.reason,
        }
    return Printed(
        reading=describe_readings(result.readings),
        verdict=shown_verdict(standing.state.value, result),
        instruments=", ".join(instruments),
        by=str(result.person),
        result=result,
        remark=remark,
    )


def _bolt_remark(decision: Mapping[str, Any]) -> str:
    """What a torque does to its bolt, with what it was worked out from."""
    bolt = decision.get("bolt")
    if not bolt:
        return _arriving_remark(decision)
    low, high = (newtons / 1000 for newtons in bolt["clamp_n"])
    words = {"low": f"{low:.0f}", "high": f"{high:.0f}", "bolt": bolt["bolt"], "source": bolt["source"]}
    clamps = _("Clamps with %(low)s to %(high)s kN (%(bolt)s; %(source)s)") % words
    return " ".join(filter(None, (_arriving_remark(decision), clamps)))


def _arriving_remark(decision: Mapping[str, Any]) -> str:
    """What of the setting arrived, through an extension or a stiff nut, and where that comes from."""
    found = (decision.get("torque") or decision).get("arriving")
    if not found:
        return ""
    setting = found["setting"]
    words = {"setting": rounded(Quantity(Fraction(setting["exact"]), setting["unit"])), **found}
    return _("Of %(setting)s set, what arrived is judged (%(source)s)") % words


def _again(record: JobRecord, standing: CheckpointStanding) -> str:
    codes = [
        operation.code
        for operation in record.once_more(standing.job_operation.operation.code)
        if operation.state != OperationState.NOT_APPLICABLE
    ]
    return _("Done once more: what counts stands at %(code)s") % {"code": codes[-1]} if codes else ""


def _note(standing: CheckpointStanding) -> str:
    """What happened to a result that does not hold any more."""
    last = standing.last
    if last is None or standing.state != CheckState.REOPENED:
        return ""
    reopening = last.reopening
    words = _("Opened again: %(cause)s") % {"cause": reopening.get_cause_display()}
    return f"{words} ({reopening.reason})" if reopening.reason else words
