"""What the papers for a customer share: which job, the point of the record, sums as they are written."""

from dataclasses import dataclass

from django.urls import reverse
from django.utils.translation import gettext as _

from jobs.models import Job
from shop.documents.kinds import PaperError, Subject
from shop.documents.models import Document
from shop.models import ShopSettings, StreamHead

LONGEST_NUMBER = 9
SHORT_HASH = 12


def number_in(stream: str, family: str) -> int | None:
    """The number of a stream such as `job/1042`; None for a stream of another family."""
    found, _slash, number = stream.partition("/")
    is_number = number.isascii() and number.isdecimal() and len(number) <= LONGEST_NUMBER
    return int(number) if found == family and is_number else None


def money_subject(stream: str) -> Subject | None:
    """The job that a paper of this stream is about. It names no bay: no tablet shows what a customer pays."""
    number = number_in(stream, "job")
    if number is None or not Job.objects.filter(number=number).exists():
        return None
    words = _("Job %(number)s") % {"number": number}
    return Subject(words, reverse("jobs:money", args=[number]))


def job_of(document: Document) -> Job:
    """The job that a paper is about.

    Raises:
        PaperError: there is none.
    """
    job = Job.objects.with_car().filter(number=number_in(document.stream, "job") or 0).first()
    if job is None:
        raise PaperError(_("There is no such job: %s") % document.stream)
    return job


@dataclass(frozen=True)
class Letter:
    """Head and foot of a paper for a customer."""

    document: Document
    job: Job
    shop: ShopSettings
    mark: str

    @classmethod
    def about(cls, document: Document, job: Job) -> "Letter":
        return cls(document, job, ShopSettings.current(), job_mark(document, job))


def job_mark(document: Document, job: Job) -> str:
    """Sequence and beginning of the hash of the job's record, whatever stream the paper goes by."""
    if document.stream == job.stream:
        return f"{document.record_sequence}-{document.record_hash[:SHORT_HASH]}"
    head = StreamHead.objects.filter(stream=job.stream).first()
    return f"{head.sequence}-{head.hash[:SHORT_HASH]}" if head else "0"
