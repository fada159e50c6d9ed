"""Work found on the way: asked for, answered by the customer, withdrawn. Until a yes it waits."""

from decimal import Decimal
from typing import Any

from django.db import models
from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.entry_kinds import who_may_enter
from jobs.models import Authority, AuthorityWay, CustomerAnswer, ExtraWork
from jobs.money.amounts import CENT, AmountError, half_up, percent_of, read_amount
from jobs.recording.authority import (
    amount,
    answer_of,
    given_by,
    link_of,
    photo_of_paper,
    photo_on_job,
    tell_authority,
    way_of,
)
from jobs.recording.found_work import ask_for
from jobs.recording.work import Work
from shop.entries import Refused
from shop.models import TaxedKind

ASKING_ROLES = who_may_enter("extra_work")
MOST_PHOTOS = 8
MOST_DAYS = 365
MOST_HOURS = Decimal(1000)


def extra_work(work: Work) -> dict[str, Any]:
    """Ask the customer for work beyond what was allowed: what was found, what it costs, what it delays."""
    taken = work.job.extra_works.aggregate(top=models.Max("number"))["top"] or 0
    operation = _operation(work)
    made = ExtraWork.objects.create(
        number=taken + 1,
        job=work.job,
        job_operation=operation.job_operation if operation else None,
        text=work.text("text", what=_("Say what was found and what is to be done"), most=1000),
        price=_price(work),
        days_later=_days(work),
        photo_ids=_photos(work),
        asked_by=work.signer,
        asked_at=work.now,
        entry=work.entry,
    )
    work.tell("extra_work.asked", {"number": made.number, "price": str(made.price)}, made)
    ask_for(work, made)
    return {"extra_work": made.number}


def extra_work_answer(work: Work) -> dict[str, Any]:
    """The customer's yes or no, by the private link or from the desk. A yes is an authority."""
    link = link_of(work)
    found = _waiting(work)
    answer, who = answer_of(work), given_by(work)
    way = AuthorityWay.LINK if link else way_of(work)
    found.answer, found.answered_at = answer, work.now
    found.save(update_fields=["answer", "answered_at"])
    work.tell("extra_work.answered", {"number": found.number, "answer": answer}, found)
    if answer == CustomerAnswer.YES:
        made = Authority.objects.create(
            job=work.job,
            scope=_("Extra work %(number)d: %(text)s") % {"number": found.number, "text": found.text},
            allows_cutting=False,
            given_by=who,
            way=way,
            given_at=work.now,
            entry=work.entry,
            amount_limit=found.price,
            photo=None if link else photo_of_paper(work, way),
            link=link,
            extra_work=found,
        )
        tell_authority(work, made)
    return {"extra_work": found.number, "answer": answer}


def extra_work_withdrawn(work: Work) -> dict[str, Any]:
    """Take the question back before it is answered: asked wrongly, or not needed any more."""
    found = _waiting(work)
    reason = work.text("reason", what=_("Say why it is taken back"))
    found.withdrawn_at = work.now
    found.save(update_fields=["withdrawn_at"])
    work.tell("extra_work.withdrawn", {"number": found.number, "reason": reason}, found)
    return {"extra_work": found.number}


def _waiting(work: Work) -> ExtraWork:
    number = str(work.payload.get("extra_work", ""))
    found = next((e for e in work.record.extra_works if str(e.number) == number), None)
    if found is None or work.subject != subject_of(found):
        raise Refused(_("There is no extra work %(number)s on this job") % {"number": number[:10]})
    if found.withdrawn_at is not None:
        raise Refused(_("Extra work %(number)d was withdrawn") % {"number": found.number})
    if found.answer:
        raise Refused(_("Extra work %(number)d was answered already") % {"number": found.number})
    return found


def subject_of(found: ExtraWork) -> str:
    """What an entry about one piece of extra work is about."""
    return f"extra_work/{found.number}"


def _operation(work: Work) -> Any:
    code = str(work.payload.get("operation", "")).strip()
    if not code:
        return work.record.find(work.subject)
    found = work.record.find(code)
    if found is None:
        raise BadInput({"operation": _("This job has no operation %(code)s") % {"code": code[:20]}})
    return found


def _price(work: Work) -> Decimal:
    """As typed; where only hours were, what they cost at the shop's rate, taxed by the shop's rule."""
    hours = str(work.payload.get("hours", "")).strip()
    if str(work.payload.get("price", "")).strip() or not hours:
        return amount(work, "price", needed=True) or Decimal("0.00")
    try:
        worked = read_amount(hours, most=MOST_HOURS)
    except AmountError as error:
        raise BadInput({"hours": error.message}) from error
    shop = work.record.settings
    net = half_up(worked * shop.labour_rate)
    taxed = TaxedKind.LABOUR in shop.taxed_kinds
    return (net + (percent_of(net, shop.tax_percent) if taxed else Decimal(0))).quantize(CENT)


def _days(work: Work) -> int:
    text = str(work.payload.get("days_later", "")).strip() or "0"
    if not (text.isascii() and text.isdecimal() and len(text) < 6) or int(text) > MOST_DAYS:
        raise BadInput(
            {"days_later": _("Enter whole days, 0 to %(most)d") % {"most": MOST_DAYS}},
        )
    return int(text)


def _photos(work: Work) -> list[str]:
    """The photos named in the payload, those of them that lie on this job."""
    keys = f"{work.payload.get('photos', '')} {work.payload.get('photo', '')}".split()
    if len(keys) > MOST_PHOTOS:
        raise BadInput({"photo": _("At most %(most)d photos") % {"most": MOST_PHOTOS}})
    return [str(photo_on_job(work, key, "photo").pk) for key in dict.fromkeys(keys)]
