"""The work order: what is to be done, what the customer has allowed and up to how much, where they sign."""

from django.utils.translation import gettext as _

from jobs.money.account import Account
from jobs.papers.letter import Letter, job_of
from jobs.record import JobRecord
from shop.documents.kinds import Paper
from shop.documents.models import Document


def build_work_order(document: Document) -> Paper:
    job = job_of(document)
    record = JobRecord.load(job)
    account = Account.load(record)
    return Paper(
        template="print/work_order.html",
        context={
            "letter": Letter.about(document, job),
            "record": record,
            "account": account,
            "operations": [o for o in record.operations if o.state != "not_applicable"],
        },
        title=_("Work order, job %(number)s") % {"number": job.number},
        pages=2,
    )
