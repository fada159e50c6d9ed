"""Every kind of entry on a car: what people call it, and who may make it. The one door asks this table.

It stands beside the table of addresses (`shop.actions`) and counts people the same way. What is not in it
nobody may record. Skill, certificate, own work and the state of the car are looked at by each kind itself.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from shop.actions import EVERYONE, FRONT, LEADS, LINK, OFFICE, TURN_ROLES, Who, role_words
from shop.models import Role

LEAD: Who = frozenset({Role.LEAD})
WORKERS: Who = frozenset({Role.FABRICATOR, Role.LEAD})
# Whoever has to do with the car itself, on the floor or at the front.
FLOOR: Who = OFFICE | TURN_ROLES


@dataclass(frozen=True)
class EntryKind:
    """`words` stand after a name ("Fenn: a reading"); `who` are roles, and the holder of a private link."""

    words: str | Promise
    who: Who


ENTRY_KINDS: Mapping[str, EntryKind] = {
    # The work
    "start": EntryKind(_("operation started"), TURN_ROLES),
    "finish": EntryKind(_("operation finished"), TURN_ROLES),
    "reading": EntryKind(_("a reading"), TURN_ROLES),
    "witness": EntryKind(_("a witness's reading"), WORKERS),
    "photo": EntryKind(_("a photo"), EVERYONE),
    "weld_made": EntryKind(_("a weld made"), WORKERS),
    "loosen": EntryKind(_("joint loosened"), WORKERS),
    # Beside the work
    "cautions_seen": EntryKind(_("cautions read"), TURN_ROLES),
    "lot": EntryKind(_("a lot used"), TURN_ROLES),
    "note": EntryKind(_("a note"), TURN_ROLES),
    "pause": EntryKind(_("a pause"), TURN_ROLES),
    "resume": EntryKind(_("work taken up again"), TURN_ROLES),
    "hand_over": EntryKind(_("hand-over to the next shift"), TURN_ROLES),
    "time_correction": EntryKind(_("booked time set right"), LEAD),
    # What does not conform
    "problem": EntryKind(_("stop: problem"), EVERYONE),
    "disposition": EntryKind(_("decision about a nonconformance"), LEAD),
    "rework_checked": EntryKind(_("rework looked at"), LEAD),
    "accept_close": EntryKind(_("close result accepted by name"), LEAD),
    # What is changed for one car
    "deviation": EntryKind(_("deviation"), LEAD),
    "deviation_withdraw": EntryKind(_("deviation withdrawn"), LEAD),
    "omit": EntryKind(_("operation left out"), LEAD),
    "omit_take_back": EntryKind(_("operation to be done after all"), LEAD),
    "operation_add": EntryKind(_("operation added"), LEAD),
    "operation_repeat": EntryKind(_("operation to be done once more"), LEAD),
    "revision_decision": EntryKind(_("decision about a revision"), LEAD),
    # Leave to go on; by whom a reason may be set aside the gate says
    "override": EntryKind(_("gate set aside by name"), LEADS),
    "move": EntryKind(_("car moved"), LEADS),
    "release": EntryKind(_("release of the car"), LEAD),
    # The car as it came in
    "condition_mark": EntryKind(_("a mark of condition"), FLOOR),
    "condition_strike": EntryKind(_("mark of condition struck out"), FLOOR),
    "condition_report": EntryKind(_("the car's condition"), FLOOR),
    # The customer's word and money
    "authority": EntryKind(_("authority to work"), OFFICE),
    "estimate_answer": EntryKind(_("answer to the estimate"), OFFICE | LINK),
    "extra_work": EntryKind(_("question for extra work"), FLOOR),
    "extra_work_answer": EntryKind(_("answer to extra work"), OFFICE | LINK),
    "extra_work_withdrawn": EntryKind(_("extra work taken back"), OFFICE),
    "found_work": EntryKind(_("extra work proposed"), FLOOR),
    "found_work_left": EntryKind(_("extra work not asked for"), OFFICE),
    "payment": EntryKind(_("payment"), FRONT),
}


def kind_words(kind: str) -> str:
    """What people call a kind of entry."""
    found = ENTRY_KINDS.get(kind)
    return str(found.words) if found else kind


def who_may_enter(kind: str) -> Who:
    """Who may make entries of a kind: roles, and `link` for the holder of a private link."""
    found = ENTRY_KINDS.get(kind)
    return found.who if found else frozenset()


def who_may_words(kind: str) -> str:
    return role_words(who_may_enter(kind) & EVERYONE)
