"""A weld of the map as it is made: tacked first, by somebody certified, with settings, wire and coupon."""

from typing import Any

from django.utils.translation import gettext as _

from jobs.gates.welding import against_welding
from jobs.judging.weld_map import MappedWeld, read_welds, welds_made_in
from jobs.models import CheckpointKind, LotUse, Proves, Result, WeldMade, WeldStep
from jobs.recording.signing import require_worker
from jobs.recording.undoing import hot_work_done, tacked_again
from jobs.recording.work import Work
from jobs.standing import CheckpointStanding
from shop.entries import Refused


def weld_made(work: Work) -> dict[str, Any]:
    """Record a tack, a weld or a repair. New sparks: the watch and the inspection begin again."""
    operation = work.operation
    require_worker(work, operation)
    message, reasons = against_welding(work.record, operation, now=work.at)
    if message:
        raise Refused(message, data={"reasons": [reason.as_json() for reason in reasons]})
    weld = _weld(work)
    step = _step(work, weld)
    made = WeldMade.objects.create(
        job_operation=operation.job_operation,
        weld=weld.code,
        step=step,
        settings=work.text("settings", what=_("Enter the settings, as on the coupon's card"), most=120),
        lot=work.text("lot", what=_("Enter the lot of the wire or rod"), most=60),
        coupon=_coupon(work),
        person=work.signer,
        made_at=work.at,
        entry=work.entry,
    )
    work.tell("weld.made", {"weld": weld.code, "step": step, "operation": operation.code}, made)
    _keep_lot(work, made)
    hot_work_done(work, operation)
    if step == WeldStep.TACK and weld.made_in != operation.code:
        tacked_again(work, operation)
    return {"weld": weld.code, "step": str(step)}


def _keep_lot(work: Work, made: WeldMade) -> None:
    """A lot of filler is found where every other lot is: once for each operation."""
    if LotUse.objects.filter(job_operation=made.job_operation, lot=made.lot).exists():
        return
    used = LotUse.objects.create(
        job_operation=made.job_operation,
        what=_("Filler metal"),
        lot=made.lot,
        person=work.signer,
        used_at=work.at,
        entry=work.entry,
    )
    work.tell("lot.used", {"operation": work.subject, "lot": used.lot, "what": used.what}, used)


def require_all_made(work: Work, standing: CheckpointStanding) -> None:
    """The welds that are judged at a checkpoint are all recorded as made."""
    if standing.checkpoint.kind != CheckpointKind.WELD or not standing.checkpoint.frame:
        return
    made = set(_made(work, WeldStep.WELD, WeldStep.REPAIR))
    left = [weld.code for weld in read_welds(standing.checkpoint.frame) if weld.code not in made]
    if left:
        words = _("These welds of the map are not recorded as made: %(codes)s")
        raise Refused(words % {"codes": ", ".join(left)})


def _weld(work: Work) -> MappedWeld:
    code = str(work.payload.get("weld", "")).strip()
    found = next((w for w in welds_made_in(work.record, work.subject) if w.code == code), None)
    if found is None:
        words = {"code": code, "operation": work.subject}
        raise Refused(_("There is no weld %(code)s on the map of %(operation)s") % words)
    return found


def _step(work: Work, weld: MappedWeld) -> WeldStep:
    """What is done: the tack where it is tacked, then the weld once, then repairs."""
    made = list(_made(work))
    steps = {step for code, step in made if code == weld.code}
    if work.subject == weld.tacked_in and weld.made_in != weld.tacked_in:
        return WeldStep.TACK
    if weld.tacked_in and weld.tacked_in == weld.made_in and WeldStep.TACK not in steps:
        return WeldStep.TACK
    if weld.tacked_in and WeldStep.TACK not in steps:
        words = _("%(code)s is not tacked yet; tack it in %(operation)s and measure before it is welded")
        raise Refused(words % {"code": weld.code, "operation": weld.tacked_in})
    if WeldStep.WELD not in steps:
        return WeldStep.WELD
    return WeldStep.REPAIR


def _made(work: Work, *steps: str) -> Any:
    rows = WeldMade.objects.filter(job_operation__job=work.job)
    if steps:
        return rows.filter(step__in=steps).values_list("weld", flat=True)
    return rows.values_list("weld", "step")


def _coupon(work: Work) -> Result | None:
    """The newest coupon in force on this car."""
    held = [c.current for c in work.record.checkpoints if c.proves(Proves.COUPON) and c.is_closed]
    return max((r for r in held if r is not None), key=lambda r: r.pk, default=None)
