"""The report of one nonconformance: what was found, by which numbers, what was decided."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from jobs.desk.numbers_behind import Numbers, numbers_behind
from jobs.judging.limits import LimitWords, limit_words, parsed
from jobs.models import Job, Nonconformance, Result
from jobs.papers.about_job import job_of, number_in, record_mark
from jobs.record import CheckpointStanding, JobRecord
from shop.documents.kinds import Paper, PaperError, part_of
from shop.documents.models import Document
from shop.templatetags.quantities import describe_readings


@dataclass(frozen=True)
class Reading:
    """One result of the checkpoint, in the order of recording."""

    result: Result
    words: str
    found_it: bool

    @property
    def instruments(self) -> str:
        used = (self.result.instrument, self.result.angle_instrument)
        return ", ".join(i.code for i in used if i is not None)


@dataclass(frozen=True)
class NonconformanceReport:
    """Everything that the report says."""

    document: Document
    record: JobRecord
    found: Nonconformance
    standing: CheckpointStanding | None
    readings: tuple[Reading, ...]
    numbers: tuple[Numbers, ...]

    @property
    def job(self) -> Job:
        return self.record.job

    @property
    def record_mark(self) -> str:
        return record_mark(self.document)

    @property
    def limits(self) -> tuple[LimitWords, ...]:
        if self.standing is None:
            return ()
        checkpoint = self.standing.checkpoint
        written = (checkpoint.limit, checkpoint.equal, checkpoint.angle)
        found = (parsed(text, self.record.settings) for text in written)
        return tuple(limit_words(limits) for limits in found if limits is not None)

    @property
    def is_hidden(self) -> bool:
        """A witness has still to read it: no paper shows the first reading."""
        return self.standing is not None and self.record.awaits_witness(self.standing)


def has_nonconformance(stream: str, number: int) -> bool:
    """Whether the job of a stream has a nonconformance of that number."""
    job = number_in(stream)
    return job is not None and Nonconformance.objects.filter(job__number=job, number=number).exists()


def build_report(document: Document) -> Paper:
    """Read the record for the report of one nonconformance.

    Raises:
        PaperError: the job has none of that number.
    """
    record = JobRecord.load(job_of(document))
    number = part_of(document.kind)
    found = next((n for n in record.nonconformances if n.number == number), None)
    if found is None:
        raise PaperError(_("The job has no nonconformance %(number)s") % {"number": number})
    standing = _standing(record, found)
    decision = found.result.decision if found.result else {}
    report = NonconformanceReport(
        document=document,
        record=record,
        found=found,
        standing=standing,
        readings=tuple(_reading(found, r) for r in (standing.results if standing else ())),
        numbers=numbers_behind(decision),
    )
    words = {"number": number, "job": record.job.number}
    return Paper(
        template="print/nonconformance.html",
        context={"report": report, "job": record.job},
        title=_("Nonconformance %(number)s, job %(job)s") % words,
    )


def _standing(record: JobRecord, found: Nonconformance) -> CheckpointStanding | None:
    """The checkpoint at the very operation; one that is done once more has the same code again."""
    return next(
        (
            c
            for c in record.checkpoints
            if c.checkpoint.pk == found.checkpoint_id and c.job_operation.pk == found.job_operation_id
        ),
        None,
    )


def _reading(found: Nonconformance, result: Result) -> Reading:
    return Reading(result, describe_readings(result.readings), result.pk == found.result_id)
