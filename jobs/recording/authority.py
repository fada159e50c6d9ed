"""What the customer has allowed: scope, amount, by whom, in which way; and who may record it."""

from decimal import Decimal
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.entry_kinds import who_may_enter
from jobs.models import Authority, AuthorityWay, CustomerLink, Photo
from jobs.money.amounts import AmountError, read_amount
from jobs.recording.work import Work
from shop.entries import Refused
from shop.models import SignedHow

DESK_ROLES = who_may_enter("authority")


def authority(work: Work) -> dict[str, Any]:
    """Record what the customer has allowed in writing."""
    way = way_of(work)
    made = Authority.objects.create(
        job=work.job,
        scope=work.text("scope", what=_("Say what work is allowed"), most=2000),
        allows_cutting=work.payload.get("allows_cutting") == "yes",
        given_by=given_by(work),
        way=way,
        given_at=work.now,
        entry=work.entry,
        amount_limit=amount(work, "amount_limit"),
        photo=photo_of_paper(work, way),
    )
    tell_authority(work, made)
    return {"allows_cutting": made.allows_cutting}


def tell_authority(work: Work, made: Authority) -> None:
    limit = str(made.amount_limit) if made.amount_limit is not None else None
    work.tell(
        "authority.recorded",
        {"allows_cutting": made.allows_cutting, "way": made.way, "amount_limit": limit},
        made,
    )


def link_of(work: Work) -> CustomerLink | None:
    """The private link through which the customer answers; None where the desk records the answer.

    A link answers for its own job alone, while it holds.
    """
    if work.entry.signed_how != SignedHow.LINK:
        return None
    key = str(work.payload.get("link", ""))
    is_key = key.isascii() and key.isdecimal() and len(key) < 18
    found = CustomerLink.objects.filter(pk=key, job=work.job).first() if is_key else None
    if found is None or found.revoked_at is not None or found.expires_at <= work.now:
        raise Refused(_("This link does not hold any more"))
    return found


def way_of(work: Work) -> str:
    """How the customer said it, as the desk heard it."""
    way = str(work.payload.get("way", ""))
    if way not in AuthorityWay.values or way == AuthorityWay.LINK:
        raise BadInput({"way": _("Say how the customer allowed it")})
    return way


def given_by(work: Work) -> str:
    return work.text("given_by", what=_("Say who allowed it"), most=120)


def answer_of(work: Work) -> str:
    answer = str(work.payload.get("answer", ""))
    if answer not in {"yes", "no"}:
        raise BadInput({"answer": _("Say yes or no")})
    return answer


def amount(work: Work, field: str, *, needed: bool = False) -> Decimal | None:
    """An amount out of the payload; none where nothing was typed and nothing is needed."""
    text = str(work.payload.get(field, "")).strip()
    if not text and not needed:
        return None
    try:
        return read_amount(text)
    except AmountError as error:
        raise BadInput({field: error.message}) from error


def photo_of_paper(work: Work, way: str) -> Photo | None:
    """The picture of the signed paper: recorded before, on this very job."""
    key = str(work.payload.get("photo", "")).strip()
    if not key:
        return None
    if way != AuthorityWay.SIGNED_PAPER:
        raise BadInput({"photo": _("A photo belongs to a signed paper; choose that as the way")})
    return photo_on_job(work, key, "photo")


def photo_on_job(work: Work, key: str, field: str) -> Photo:
    try:
        found = Photo.objects.filter(pk=UUID(key), job=work.job).first()
    except ValueError:
        found = None
    if found is None:
        raise BadInput({field: _("There is no such photo on this job; take it again")})
    return found
