"""Work found on the way, as it is met at the car: what, about how long, a photo. A desk asks for it."""

from typing import Any

from django.db import models
from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.models import ExtraWork, FoundWork
from jobs.recording.authority import photo_on_job
from jobs.recording.work import Work
from shop.entries import Refused

MOST_CHARACTERS = 900
# A week of one person: whatever takes longer is planned at a desk.
MOST_MINUTES = 2400


def found_work(work: Work) -> dict[str, Any]:
    """Propose work that the route does not have: nothing is asked of the customer by it."""
    taken = FoundWork.objects.filter(job_operation__job=work.job).aggregate(top=models.Max("number"))["top"]
    photo = str(work.payload.get("photo", ""))
    made = FoundWork.objects.create(
        number=(taken or 0) + 1,
        job_operation=work.operation.job_operation,
        text=_text(work),
        minutes=_minutes(work),
        photo_ids=[str(photo_on_job(work, photo, "photo").pk)] if photo else [],
        found_by=work.signer,
        found_at=work.now,
        entry=work.entry,
    )
    work.tell("found_work.told", {"number": made.number, "operation": work.operation.code}, made)
    return {"found_work": made.number}


def found_work_left(work: Work) -> dict[str, Any]:
    """Decide that the customer is not asked, and say why; whoever found it reads it."""
    found = waiting(work, "found_work")
    found.left_reason = work.text("reason", what=_("Say why the customer is not asked"))
    found.left_at, found.left_by = work.now, work.signer
    found.save(update_fields=["left_reason", "left_at", "left_by"])
    work.tell("found_work.left", {"number": found.number, "reason": found.left_reason}, found)
    return {"found_work": found.number}


def ask_for(work: Work, asked: ExtraWork) -> None:
    """Tie what the customer is asked for to what was found, where the entry names it."""
    if not str(work.payload.get("found_work", "")).strip():
        return
    found = waiting(work, "found_work")
    found.extra_work = asked
    found.save(update_fields=["extra_work"])
    work.tell("found_work.asked", {"number": found.number, "extra_work": asked.number}, found)


def waiting(work: Work, field: str) -> FoundWork:
    """What was found and waits for a desk, by its number in the payload."""
    number = str(work.payload.get(field, ""))
    found = next((f for f in work.record.found_works if str(f.number) == number), None)
    if found is None:
        raise Refused(_("No work of number %(number)s was found on this job") % {"number": number[:10]})
    if found.extra_work_id is not None:
        raise Refused(_("The customer was asked for it already"))
    if found.left_at is not None:
        raise Refused(_("It was decided already that the customer is not asked"))
    return found


def _text(work: Work) -> str:
    """What was touched, what was typed, or both."""
    touched, typed = (str(work.payload.get(name, "")).strip() for name in ("what", "text"))
    said = ": ".join(part for part in (touched, typed) if part)
    if not said:
        raise BadInput({"text": _("Touch what was found, or say it in your words")})
    if len(said) > MOST_CHARACTERS:
        words = _("%(given)d characters are too many; at most %(most)d")
        raise BadInput({"text": words % {"given": len(said), "most": MOST_CHARACTERS}})
    return said


def _minutes(work: Work) -> int:
    typed = str(work.payload.get("minutes", "")).strip() or str(work.payload.get("about", "")).strip()
    is_number = typed.isascii() and typed.isdecimal() and len(typed) < 6
    minutes = int(typed) if is_number else 0
    if not 0 < minutes <= MOST_MINUTES:
        words = _("Touch about how long it takes, or enter whole minutes, 1 to %(most)d")
        raise BadInput({"minutes": words % {"most": MOST_MINUTES}})
    return minutes
