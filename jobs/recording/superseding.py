"""Deciding for one car what becomes of it when its revision was superseded."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.models import JobOperation, PassedAnswer, PassedDecision, RevisionAnswer, RevisionDecision
from jobs.procedures.car_change import Between, CarChange, ChangedPoint, car_change
from jobs.recording.changing_over import change_over
from jobs.recording.signing import require_lead, require_pin, second_person
from jobs.recording.work import Work
from jobs.superseded import successor_of
from shop.entries import Refused
from shop.models import Person

SUBJECT = "revision"
MOST_REASON = 300


@dataclass(frozen=True)
class Said:
    """What the lead said of one operation that had begun."""

    point: ChangedPoint
    answer: PassedAnswer
    reason: str


def revision_decision(work: Work) -> dict[str, Any]:
    """Carry on with the old revision, change over to the newer, or change over and rework.

    Nobody accepts their own work; what touches steering, suspension, brakes or welds and is left as it
    was done takes a second qualified person.
    """
    require_lead(work)
    require_pin(work)
    change = _change(work)
    answer = _answer(work)
    reason = work.text("reason", what=_("Give the reason; it shows on the papers"), most=MOST_REASON)
    said = _said(work, change, answer)
    second = _second(work, _left_as_it_was(change, answer, said))
    decision = RevisionDecision.objects.create(
        job=work.job,
        from_revision=change.between.old,
        to_revision=change.between.new,
        answer=answer,
        reason=reason,
        person=work.signer,
        second=second,
        decided_at=work.now,
        entry=work.entry,
    )
    again: dict[str, JobOperation] = {}
    if answer is not RevisionAnswer.CARRY_ON:
        rework = [one.point.code for one in said if one.answer is PassedAnswer.REWORK]
        again = change_over(work, change, rework=rework, reason=reason)
    rows = [_passed(decision, one, again) for one in said]
    told = {"from": str(change.between.old), "to": str(change.between.new), "answer": answer}
    work.tell("revision.decided", told, decision, *rows)
    return {
        "answer": answer,
        "to": change.between.new.revision,
        "again": sorted(r.pk for r in again.values()),
    }


def _change(work: Work) -> CarChange:
    """What the decision is about: the revision now in force, and the one that was shown."""
    new = successor_of(work.job)
    if new is None:
        raise Refused(_("No newer revision is released; there is nothing to decide"))
    shown = str(work.payload.get("to", ""))
    if shown != new.revision:
        words = {"shown": shown[:10] or "–", "new": new.revision}
        raise Refused(
            _("You were shown revision %(shown)s; %(new)s is in force now. Look at it first.") % words
        )
    return car_change(work.record, Between.of(work.job.procedure_revision, new))


def _answer(work: Work) -> RevisionAnswer:
    given = str(work.payload.get("answer", ""))
    if given not in RevisionAnswer.values:
        raise BadInput({"answer": _("Choose what becomes of this car")})
    return RevisionAnswer(given)


def _said(work: Work, change: CarChange, answer: RevisionAnswer) -> tuple[Said, ...]:
    """What becomes of each operation that had begun and that the newer revision changes.

    Raises:
        BadInput: with every operation of which nothing was said, or that is accepted without a reason.
    """
    if answer is RevisionAnswer.CARRY_ON:
        return ()
    errors: dict[str, str] = {}
    said = tuple(_of_point(work, point, answer, errors) for point in change.asked)
    if errors:
        raise BadInput(errors)
    return said


def _of_point(work: Work, point: ChangedPoint, answer: RevisionAnswer, errors: dict[str, str]) -> Said:
    words = {"code": point.code}
    if not point.is_in_new:
        return Said(point, PassedAnswer.ACCEPT, _("not in the newer revision"))
    if answer is RevisionAnswer.REWORK:
        return Said(point, PassedAnswer.REWORK, "")
    given = str(work.payload.get(f"op_{point.code}", ""))
    why = str(work.payload.get(f"why_{point.code}", "")).strip()
    if given not in PassedAnswer.values:
        errors[f"op_{point.code}"] = _("%(code)s has begun on this car: accept it, or have it redone") % words
    elif given == PassedAnswer.ACCEPT and not why:
        errors[f"why_{point.code}"] = _("Say why %(code)s is good as it was done") % words
    elif len(why) > MOST_REASON:
        errors[f"why_{point.code}"] = _("At most %(most)d characters") % {"most": MOST_REASON}
    return Said(point, PassedAnswer(given) if given in PassedAnswer.values else PassedAnswer.REWORK, why)


def _left_as_it_was(
    change: CarChange, answer: RevisionAnswer, said: tuple[Said, ...]
) -> tuple[ChangedPoint, ...]:
    """What stays, or will be, as the old revision has it."""
    if answer is RevisionAnswer.CARRY_ON:
        return change.points
    return tuple(one.point for one in said if one.answer is PassedAnswer.ACCEPT)


def _second(work: Work, left: Iterable[ChangedPoint]) -> Person | None:
    """The second person where one is needed; nobody of the two has done what they leave as it was."""
    left = tuple(left)
    workers: set[int] = set()
    for point in left:
        mine = work.record.workers(point.code) if point.is_passed else frozenset()
        if work.signer.pk in mine:
            raise Refused(
                _("%(name)s worked on %(code)s; another lead decides that it may stay as it is")
                % {"name": work.signer, "code": point.code}
            )
        workers |= mine
    if not any(point.is_safety for point in left):
        return None
    return second_person(work, not_these=frozenset(workers | {work.signer.pk}))


def _passed(decision: RevisionDecision, said: Said, again: dict[str, JobOperation]) -> PassedDecision:
    assert said.point.standing is not None
    return PassedDecision.objects.create(
        decision=decision,
        job_operation=said.point.standing.job_operation,
        answer=said.answer,
        reason=said.reason,
        again=again.get(said.point.code),
    )
