"""What every paper about a job begins with: which job, and the point of its record that it was read at."""

from django.urls import reverse
from django.utils.translation import gettext as _

from jobs.models import Job
from shop.documents.kinds import PaperError, Subject
from shop.documents.models import Document

SHORT_HASH = 12
LONGEST_NUMBER = 9


def subject(stream: str) -> Subject | None:
    """The job that a paper for the shop is about; the tablet of its bay sees it too."""
    number = number_in(stream)
    job = Job.objects.only("number", "bay").filter(number=number).first() if number is not None else None
    if job is None:
        return None
    words = _("Job %(number)s") % {"number": number}
    return Subject(words, reverse("jobs:job", args=[number]), job.bay_id)


def desk_subject(stream: str) -> Subject | None:
    """The job that a paper for the customer is about. It names no bay: no tablet shows it."""
    found = subject(stream)
    return Subject(found.label, found.url) if found else None


def job_of(document: Document) -> Job:
    """The job of a paper, with its car, its people and what it is built by.

    Raises:
        PaperError: there is no such job.
    """
    job = Job.objects.with_car().filter(number=number_in(document.stream) or 0).first()
    if job is None:
        raise PaperError(_("There is no such job: %s") % document.stream)
    return job


def record_mark(document: Document) -> str:
    """Sequence and beginning of the hash: whoever holds a later pair holds a later record."""
    return f"{document.record_sequence}-{document.record_hash[:SHORT_HASH]}"


def number_in(stream: str) -> int | None:
    """The number of the job that a stream is of."""
    family, _slash, number = stream.partition("/")
    is_number = number.isascii() and number.isdecimal() and len(number) <= LONGEST_NUMBER
    return int(number) if family == "job" and is_number else None
