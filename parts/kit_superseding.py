"""Deciding for one order, and its car, what becomes of it since the list of its kit was superseded."""

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from parts.cars import cars
from parts.entering import Signed, enter
from parts.kit_differences import KitDifferences, LineChange, kit_differences
from parts.kit_releasing import in_force_of
from parts.kit_sheet import kit_sheet
from parts.models import KitAnswer, KitDecision, KitOrder, KitRevision
from parts.newer_lists import undecided_lists
from shop.entries import Answer, Refused
from shop.events import append
from shop.models import Entry, Person, Role, ShopSettings, Skill

SUBJECT = "kit revision"


@dataclass(frozen=True)
class KitChange:
    """What the newer list changes for one order. `fitted`: operations begun that need what it changes."""

    order: KitOrder
    old: KitRevision
    new: KitRevision
    words: KitDifferences
    fitted: tuple[str, ...]
    safety: frozenset[str]

    def is_safety(self, change: LineChange) -> bool:
        return not change.operations.isdisjoint(self.safety)

    @property
    def touches_safety(self) -> bool:
        return any(map(self.is_safety, self.words.operations))


def kit_change(order: KitOrder, *, now: dt.datetime) -> KitChange | None:
    """What the list in force changes for an order; None where the order is by that list."""
    return kit_changes([order], now=now).get(order.pk)


def kit_changes(
    orders: Sequence[KitOrder], *, now: dt.datetime, to: KitRevision | None = None
) -> Mapping[int, KitChange]:
    """What the list in force, or `to`, changes for each order, by its key; those by that list are left out.

    The number of queries does not hang on the number of orders.
    """
    newer: dict[str, KitRevision | None] = {}
    safety: dict[str, frozenset[str]] = {}
    words: dict[int, KitDifferences] = {}
    needs = cars().needs([order.pk for order in orders], now=now)
    found = {}
    for order in orders:
        old = order.kit_revision
        code = old.kit.code
        if code not in newer:
            newer[code], safety[code] = to or in_force_of(old), cars().safety_operations(code)
        new = newer[code]
        if new is None or new.pk == old.pk:
            continue
        if old.pk not in words:
            words[old.pk] = kit_differences(kit_sheet(old), kit_sheet(new))
        begun = needs[order.pk].started if order.pk in needs else frozenset()
        fitted = tuple(sorted(words[old.pk].touched & begun))
        found[order.pk] = KitChange(order, old, new, words[old.pk], fitted, safety[code])
    return found


def undecided(orders: Iterable[KitOrder]) -> tuple[KitOrder, ...]:
    """The orders by a superseded list, for a car that is not handed over, about which nobody has decided."""
    asked = list(orders)
    waiting = undecided_lists(asked)
    if not waiting:
        return ()
    gone = {pk for pk, car in cars().of_orders(list(waiting)).items() if car.is_released}
    return tuple(order for order in asked if order.pk in waiting and order.pk not in gone)


def decide(
    *,
    order: KitOrder,
    to: str,
    answer: KitAnswer,
    reason: str,
    second: Person | None,
    signed: Signed,
    now: dt.datetime,
) -> Answer:
    """Carry on with what was ordered, change over, or change over and do again what is fitted.

    What is done again comes once more in the route of the car, with its checkpoints and its gates.

    What touches steering, suspension, brakes or welds and is left by the older list takes a second qualified
    person.
    """
    payload = {"to": to, "answer": answer, "reason": reason, "second": second.pk if second else None}

    def handle(entry: Entry) -> Mapping[str, Any]:
        return _record(order, entry, second, now)

    return enter(order, "kit_decision", payload, signed=signed, now=now, handle=handle)


def _record(order: KitOrder, entry: Entry, second: Person | None, now: dt.datetime) -> Mapping[str, Any]:
    order.refresh_from_db()
    change = kit_change(order, now=now)
    said = entry.payload
    if change is None:
        raise Refused(_("No newer list is released; there is nothing to decide."))
    if said["to"] != change.new.revision:
        words = {"shown": said["to"], "new": change.new.revision}
        raise Refused(_("You were shown %(shown)s; %(new)s is in force now. Look at it first.") % words)
    if needs_second(change, said["answer"]):
        _check_second(second, entry.signer, now)
    again: Mapping[str, str] = {}
    if said["answer"] == KitAnswer.REWORK:
        why = _("Kit list %(new)s: %(why)s") % {"new": change.new.revision, "why": said["reason"]}
        again = cars().do_again(order, change.fitted, entry=entry, reason=why, now=now)
    decision = KitDecision.objects.create(
        order=order,
        from_revision=change.old,
        to_revision=change.new,
        answer=said["answer"],
        reason=said["reason"],
        fitted=list(change.fitted),
        again=dict(again),
        person=entry.signer,
        second=second,
        decided_at=now,
        entry=entry,
    )
    if said["answer"] != KitAnswer.CARRY_ON:
        order.kit_revision = change.new
        order.save(update_fields=["kit_revision"])
    data = {"from": change.old.revision, "to": change.new.revision, "answer": said["answer"]}
    append(stream=order.stream, kind="kit.decided", data=data, now=now, entry=entry, rows=[order, decision])
    return {"answer": said["answer"], "to": change.new.revision, "again": dict(again)}


def needs_second(change: KitChange, answer: str) -> bool:
    """Whether parts of steering, suspension, brakes or welds stay by the older list."""
    if answer == KitAnswer.CARRY_ON:
        return change.touches_safety
    return answer == KitAnswer.CHANGE_OVER and not change.safety.isdisjoint(change.fitted)


def _check_second(second: Person | None, signer: Person, now: dt.datetime) -> None:
    if second is None:
        message = _("Steering, suspension, brakes or welds stay by the older list: a second qualified person")
        raise Refused(message, data={"field": "second_username"})
    if second.pk == signer.pk:
        raise Refused(_("The second person is somebody else."), data={"field": "second_username"})
    today = ShopSettings.current().day_at(now)
    if second.role != Role.LEAD and not second.is_certified(Skill.INSPECTION, on=today):
        message = _("%(name)s is neither a lead nor a certified inspector") % {"name": second}
        raise Refused(message, data={"field": "second_username"})
