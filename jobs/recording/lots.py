"""From which lot a consumable or a piece of hardware was taken."""

from typing import Any

from django.utils.translation import gettext as _

from jobs.models import LotUse
from jobs.recording.signing import require_worker
from jobs.recording.work import Work


def lot(work: Work) -> dict[str, Any]:
    """Record the lot of something that is used up or built in at an operation."""
    require_worker(work, work.operation)
    made = LotUse.objects.create(
        job_operation=work.operation.job_operation,
        what=work.text("what", what=_("Say what it is that was used"), most=160),
        lot=work.text("lot", what=_("Enter the lot as it stands on the package"), most=60),
        person=work.signer,
        used_at=work.now,
        entry=work.entry,
    )
    work.tell("lot.used", {"operation": work.operation.code, "lot": made.lot, "what": made.what}, made)
    return {"lot": made.lot}
