"""Starting and finishing operations."""

from typing import Any

from django.utils.translation import gettext as _

from jobs.gates.conditions import reasons_against_finishing, reasons_against_starting
from jobs.models import Flag, OperationState, Stands
from jobs.recording import time
from jobs.recording.signing import require_lead, require_pin, require_worker
from jobs.recording.undoing import hot_work_done
from jobs.recording.work import Work, refuse_for, set_stands, set_state
from shop.entries import Refused


def start(work: Work) -> dict[str, Any]:
    """Start an operation once every gate before it holds."""
    operation = work.operation
    if operation.state != OperationState.WAITING:
        raise Refused(
            _("%(code)s is %(state)s already")
            % {"code": operation.code, "state": operation.job_operation.get_state_display()}
        )
    require_worker(work, operation)
    refuse_for(
        reasons_against_starting(work.record, operation, now=work.at),
        _("%(code)s may not be started yet") % {"code": operation.code},
    )
    set_state(work, operation, OperationState.IN_WORK)
    time.begin(work, operation)
    if operation.does(Flag.STOPS_ROLLING):
        set_stands(work, Stands.ON_STANDS)
    elif operation.does(Flag.MOVES_CAR):
        set_stands(work, Stands(work.job.stands))
    if operation.does(Flag.HOT_WORK):
        hot_work_done(work, operation)
    return {"state": OperationState.IN_WORK}


def finish(work: Work) -> dict[str, Any]:
    """Finish an operation once everything in it is closed. A hold point takes the PIN of a lead."""
    operation = work.operation
    if not operation.is_in_work:
        raise Refused(
            _("%(code)s is %(state)s; only what is in work can be finished")
            % {"code": operation.code, "state": operation.job_operation.get_state_display()}
        )
    if operation.operation.is_hold_point:
        require_lead(work)
        require_pin(work)
        if work.signer.pk in work.record.workers(operation.code):
            raise Refused(
                _("%(name)s worked on %(code)s; a hold point is passed by another lead")
                % {"name": work.signer, "code": operation.code}
            )
    else:
        require_worker(work, operation)
    refuse_for(
        reasons_against_finishing(work.record, operation, now=work.now),
        _("%(code)s may not be finished yet") % {"code": operation.code},
    )
    set_state(work, operation, OperationState.FINISHED)
    time.close_all(work, operation)
    if operation.does(Flag.ONTO_WHEELS):
        set_stands(work, Stands.ON_WHEELS)
    return {"state": OperationState.FINISHED}
