"""One operation as the traveler prints it."""

from dataclasses import dataclass

import segno
from django.conf import settings
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from jobs.gates.kit_list import list_undecided_at
from jobs.gates.revision import revision_undecided
from jobs.judging.holes import HoleCard, Workshop, holes_of
from jobs.models import Operation, OperationState
from jobs.papers.checkpoint_row import CheckpointRow, row_of
from jobs.papers.gate_words import gate_sentences
from jobs.papers.weld_record import WeldRecord
from jobs.record import JobRecord, OperationStanding


@dataclass(frozen=True)
class OperationCard:
    """An operation with its texts, gates and checkpoints, and the way to its page."""

    standing: OperationStanding
    gates: tuple[str, ...]
    after: str
    rows: tuple[CheckpointRow, ...]
    problems: tuple[str, ...]
    address: str
    holes: tuple[HoleCard, ...] = ()
    other_revision: str = ""
    # That a newer revision changes it and nobody has decided about this car.
    undecided: str = ""
    welds: WeldRecord | None = None

    @property
    def operation(self) -> Operation:
        return self.standing.operation

    @property
    def code(self) -> str:
        return self.standing.code

    @property
    def takes(self) -> str:
        return standard_time(self.operation.standard_minutes)

    @property
    def is_finished(self) -> bool:
        return self.standing.state == OperationState.FINISHED

    @property
    def is_not_applicable(self) -> bool:
        return self.standing.state == OperationState.NOT_APPLICABLE

    @property
    def added(self) -> str:
        """That it stands in no procedure, who added it and why; empty for the procedure's own."""
        row = self.standing.addition
        if row is None:
            return ""
        words = {"who": row.person, "why": row.reason, "code": self.standing.repeats}
        if self.standing.repeats:
            return _("Added for this car by %(who)s, %(code)s once more: %(why)s") % words
        return _("Added for this car by %(who)s: %(why)s") % words

    @property
    def is_over(self) -> bool:
        """Nothing is left to do: what it came to is printed, no longer how it is done."""
        return self.standing.is_done and not self.standing.open_checkpoints

    @property
    def qr(self) -> SafeString:
        return qr_picture(self.address, _("QR code of %(code)s") % {"code": self.code})


def card_of(
    record: JobRecord, standing: OperationStanding, welds: WeldRecord, workshop: Workshop
) -> OperationCard:
    """What one operation of a job says, its holes made with what the shop owns, without a query."""
    operation = standing.operation
    return OperationCard(
        standing=standing,
        gates=gate_sentences(operation),
        after=", ".join(standing.after),
        rows=tuple(row_of(record, checkpoint) for checkpoint in standing.checkpoints),
        problems=tuple(
            _("Nonconformance %(number)s is open: %(text)s")
            % {"number": problem.number, "text": problem.text}
            for problem in record.open_nonconformances
            if problem.job_operation_id == standing.job_operation.pk
        ),
        address=f"{settings.SITE_ADDRESS}/q/{record.job.number}/{standing.code}/",
        holes=holes_of(record, standing, workshop),
        other_revision=standing.other_revision(record.job),
        undecided=_undecided(record, standing),
        welds=welds.made_in(standing.code),
    )


def standard_time(minutes: int) -> str:
    """Minutes as people say them: 2 h 30 min."""
    hours, rest = divmod(minutes, 60)
    if not hours:
        return _("%(minutes)s min") % {"minutes": rest}
    if not rest:
        return _("%(hours)s h") % {"hours": hours}
    return _("%(hours)s h %(minutes)s min") % {"hours": hours, "minutes": rest}


def qr_picture(address: str, name: str) -> SafeString:
    """A QR code as one joined path, its size given by the style sheet."""
    code = segno.make(address, error="m", micro=False, boost_error=False)
    drawn: str = code.svg_inline(omitsize=True, svgclass="qr", lineclass=None, title=name)
    return mark_safe(drawn)  # noqa: S308 - segno escapes the name, and the address is in the picture only


def _undecided(record: JobRecord, standing: OperationStanding) -> str:
    """What a newer revision or kit list changes of it with nothing decided; nothing of what is done."""
    if standing.is_done:
        return ""
    found = [reason.text for reason in list_undecided_at(record, standing)]
    newer = record.superseded
    if newer is not None and standing.code in newer.touched:
        found.insert(0, revision_undecided(newer, standing).text)
    return ". ".join(found)
