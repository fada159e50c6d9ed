"""The estimate as a paper: what it is thought to cost, with room for the customer's signature."""

from django.utils.translation import gettext as _

from jobs.money.account import Account
from jobs.papers.letter import Letter, job_of
from jobs.record import JobRecord
from shop.documents.kinds import Paper, PaperError
from shop.documents.models import Document

LINES_ON_A_PAGE = 34


def build_estimate(document: Document) -> Paper:
    """The issue in force: the accepted one, else the offered. A draft is no paper."""
    job = job_of(document)
    record = JobRecord.load(job)
    issue = Account.load(record).current
    if issue is None:
        raise PaperError(_("No estimate has been offered yet; offer one, then ask for the paper"))
    lines = list(issue.row.lines.all())
    return Paper(
        template="print/estimate.html",
        context={"letter": Letter.about(document, job), "issue": issue, "lines": lines, "record": record},
        title=_("Estimate %(issue)s, job %(number)s") % {"issue": issue.row.issue, "number": job.number},
        pages=1 + len(lines) // LINES_ON_A_PAGE,
    )
