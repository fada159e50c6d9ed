"""A customer's yes or no, as the form behind the link sends it: one entry, whatever the network does."""

import datetime as dt
import re
from collections.abc import Mapping
from uuid import UUID

from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.models import CustomerLink
from jobs.recording import FloorEntry, record_entry
from shop.entries import Answer
from shop.models import SignedHow

SUBJECT = re.compile(r"(estimate|extra_work)/([1-9][0-9]{0,5})", re.ASCII)


def record_customer_answer(link: CustomerLink, posted: Mapping[str, str], *, now: dt.datetime) -> Answer:
    """Record what the customer answered. It is signed for by whoever made the link, and says it came by it.

    Raises:
        BadInput: no name, neither yes nor no, or a form that is none of ours.
    """
    subject = SUBJECT.fullmatch(posted.get("subject", ""))
    if subject is None:
        raise BadInput({"": _("This form is none of ours. Open the page again")})
    what, number = subject.groups()
    return record_entry(
        FloorEntry(
            id=_identity(posted, "entry_id"),
            job_number=link.job.number,
            subject=subject[0],
            kind=f"{what}_answer",
            signer=link.made_by,
            signed_how=SignedHow.LINK,
            saw=_identity(posted, "saw") if posted.get("saw") else None,
            payload={
                what: number,
                "answer": posted.get("answer", ""),
                "given_by": posted.get("given_by", "").strip(),
                "link": str(link.pk),
            },
        ),
        now=now,
    )


def _identity(posted: Mapping[str, str], name: str) -> UUID:
    try:
        return UUID(posted.get(name, ""))
    except ValueError as error:
        raise BadInput({"": _("The form has lost its identity. Open the page again")}) from error
