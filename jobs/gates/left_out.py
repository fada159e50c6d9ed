"""What would be missing if an operation were left out: proofs, watches, inspections, joints."""

from collections.abc import Iterable, Iterator

from django.utils.translation import gettext as _

from jobs.gates.needs import JOINTS_OF, NEEDS
from jobs.models import SAFETY_JOINTS, CheckpointKind, Flag, OperationState, Proves
from jobs.record import JobRecord, OperationStanding

# These go with the sparks and the welds that they belong to; whose they are is looked at by itself.
OF_THE_WORK = frozenset({Proves.FIRE_WATCH, Proves.WELD_INSPECTION})


def needed_later(record: JobRecord, operation: OperationStanding) -> list[str]:
    """Why an operation cannot be left out, in words: each gate that would have less to stand on."""
    others = [
        o for o in record.operations if o.code != operation.code and o.state != OperationState.NOT_APPLICABLE
    ]
    later = [o for o in others if o.position > operation.position]
    earlier = [o for o in others if o.position < operation.position]
    found = [
        *_proofs(operation, earlier, later),
        *_joints(operation, later),
        *_handed_over(operation),
        *_welds(operation, others),
        *_watch(operation, earlier, later),
    ]
    return list(dict.fromkeys(found))


def _proofs(
    operation: OperationStanding, earlier: list[OperationStanding], later: list[OperationStanding]
) -> Iterator[str]:
    proved = _proved_by([operation]) - OF_THE_WORK
    if operation.is_added:
        # What was added may go again where the procedure's own proof still stands.
        proved -= _proved_by(earlier)
    for one in later:
        for flag, needs in NEEDS.items():
            if flag is not Flag.HOT_WORK and one.does(flag):
                for what in needs:
                    if what in proved:
                        words = {"code": one.code, "what": str(what.label)}
                        yield _("%(code)s asks for: %(what)s") % words


def _joints(operation: OperationStanding, later: list[OperationStanding]) -> Iterator[str]:
    """Joints that must be tight before the car stands on its wheels, or is driven."""
    if operation.is_added:
        return
    for one in later:
        for flag, joints in JOINTS_OF.items():
            if one.does(flag):
                for standing in operation.checkpoints:
                    if standing.checkpoint.joint in joints:
                        words = {"code": one.code, "joint": standing.code}
                        yield _("%(code)s asks for the joint %(joint)s") % words


def _handed_over(operation: OperationStanding) -> Iterator[str]:
    """A car that is released is driven away, whether or not its route drives it."""
    if operation.is_added:
        return
    proved = _proved_by([operation])
    for what in NEEDS[Flag.DRIVEN]:
        if what in proved:
            yield _("a car that is handed over needs: %(what)s") % {"what": str(what.label)}
    for standing in operation.checkpoints:
        if standing.checkpoint.joint in SAFETY_JOINTS:
            yield _("a car that is handed over needs the joint %(joint)s") % {"joint": standing.code}


def _welds(operation: OperationStanding, others: list[OperationStanding]) -> Iterator[str]:
    """Welds that stay on the car, and would be judged by nobody."""
    kept = {o.code for o in others}
    for standing in operation.checkpoints:
        weld = standing.checkpoint
        if weld.kind == CheckpointKind.WELD and weld.made_in in kept:
            words = {"code": weld.made_in, "weld": standing.code}
            yield _("the welds of %(code)s are judged at %(weld)s") % words


def _watch(
    operation: OperationStanding, earlier: list[OperationStanding], later: list[OperationStanding]
) -> Iterator[str]:
    """Sparks of an earlier operation that nobody would watch any more."""
    watched_later = operation.is_added and Proves.FIRE_WATCH in _proved_by(later)
    if Proves.FIRE_WATCH not in _proved_by([operation]) or watched_later:
        return
    for one in reversed(earlier):
        if Proves.FIRE_WATCH in _proved_by([one]):
            return
        if one.does(Flag.HOT_WORK):
            yield _("the fire watch of %(code)s is kept in it") % {"code": one.code}


def _proved_by(operations: Iterable[OperationStanding]) -> set[Proves]:
    return {Proves(what) for o in operations for c in o.checkpoints for what in c.checkpoint.proves}
