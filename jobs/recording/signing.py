"""Who may sign what. Nobody judges their own work."""

from django.utils.translation import gettext as _

from jobs.models import Checkpoint, CheckpointKind, Result
from jobs.record import OperationStanding
from jobs.recording.work import Work
from shop.entries import Refused
from shop.models import Person, Role, SignedHow, Skill

WORKING_ROLES = frozenset({Role.FABRICATOR, Role.LEAD})


def require_worker(work: Work, operation: OperationStanding) -> None:
    """The signer may work on this operation: by role, and by certificate where it takes one."""
    skill = operation.operation.skill
    roles = WORKING_ROLES | ({Role.SERVICE_WRITER} if skill == Skill.SERVICE else set())
    if work.signer.role not in roles:
        raise Refused(
            _("%(name)s may not sign work on %(code)s; a fabricator or lead does")
            % {"name": work.signer, "code": operation.code}
        )
    if skill == Skill.STRUCTURAL_WELDING and not work.signer.is_certified(skill, on=work.today):
        raise Refused(
            _("%(code)s takes a structural welding certificate valid today; %(name)s has none")
            % {"code": operation.code, "name": work.signer}
        )


def require_lead(work: Work) -> None:
    """The signer is a lead."""
    if not work.signer.is_lead:
        raise Refused(_("Only a lead may do this; %(name)s is not one") % {"name": work.signer})


def require_pin(work: Work) -> None:
    """The signer gave the PIN for this very entry."""
    if work.entry.signed_how not in {SignedHow.PIN, SignedHow.LOADED}:
        raise Refused(_("This asks for the PIN of whoever signs it"))


def is_qualified_to_inspect(person: Person, work: Work) -> bool:
    """A lead, or somebody with an inspection certificate valid today."""
    return person.is_lead or person.is_certified(Skill.INSPECTION, on=work.today)


def require_inspector(work: Work, checkpoint: Checkpoint) -> None:
    """The signer may judge this weld: certified on this day, and not whoever made it."""
    if not work.signer.is_certified(Skill.INSPECTION, on=work.today):
        raise Refused(
            _("A weld is judged with an inspection certificate valid today; %(name)s has none")
            % {"name": work.signer}
        )
    made_in = work.record.find(checkpoint.made_in)
    again = work.record.once_more(checkpoint.made_in) if made_in else ()
    unfinished = [made_in] if made_in is not None and not made_in.is_done else []
    for operation in (*unfinished, *(o for o in again if o.is_in_work)):
        if operation.code != work.subject:
            words = _("%(code)s is not finished; its welds are judged when it is")
            raise Refused(words % {"code": operation.code})
    if work.signer.pk in work.record.welders(checkpoint.made_in or work.subject):
        raise Refused(
            _("%(name)s worked on %(code)s and may not judge its welds; somebody else does")
            % {"name": work.signer, "code": checkpoint.made_in}
        )


def require_other_than(work: Work, result: Result, what: str) -> None:
    """The signer did not sign the result in question."""
    if result.person_id == work.signer.pk:
        raise Refused(what % {"name": work.signer, "code": result.checkpoint.code})


def second_person(work: Work, *, not_these: frozenset[int]) -> Person:
    """The second qualified person who confirmed with a PIN of their own."""
    second = Person.objects.filter(pk=_key(work.payload.get("second")), is_active=True).first()
    if second is None:
        raise Refused(_("This needs a second qualified person, by name and PIN"))
    if second.pk in not_these:
        raise Refused(
            _("%(name)s signed here already; the second person is somebody else") % {"name": second}
        )
    if not is_qualified_to_inspect(second, work):
        raise Refused(_("%(name)s is neither a lead nor a certified inspector") % {"name": second})
    return second


def _key(given: object) -> int:
    """A key out of a payload; none where it is no number."""
    return int(str(given)) if str(given).isdecimal() and len(str(given)) < 18 else 0


def signs_own_work(kind: str) -> bool:
    """Whether a checkpoint of that kind is signed by whoever did the work."""
    return kind not in {CheckpointKind.WELD, CheckpointKind.WITNESS}
