"""A joint that is loosened again loses its result and its paint mark."""

from typing import Any

from django.utils.translation import gettext as _

from jobs.models import ReopeningCause
from jobs.recording import time
from jobs.recording.signing import require_worker
from jobs.recording.undoing import witness_again
from jobs.recording.work import Work, reopen
from shop.entries import Refused


def loosen(work: Work) -> dict[str, Any]:
    """Record that a tightened joint was loosened: its checkpoint opens again."""
    standing = work.checkpoint()
    require_worker(work, work.operation)
    if not standing.checkpoint.is_joint:
        raise Refused(_("%(code)s is not a joint that is tightened") % {"code": standing.code})
    if standing.current is None:
        raise Refused(_("%(code)s is not tightened") % {"code": standing.code})
    reason = work.text("reason", what=_("Say why it was loosened"))
    reopen(work, standing.current, ReopeningCause.LOOSENED, reason)
    witness_again(work, standing)
    time.go_on(work, work.operation)
    return {
        "checkpoint": standing.code,
        "state": standing.checkpoint.kind,
        "new_hardware": standing.checkpoint.is_single_use,
    }
