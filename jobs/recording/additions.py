"""Operations that a lead adds to the route of one car, or has done once more."""

from collections.abc import Collection, Mapping
from dataclasses import replace
from typing import Any

from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.models import (
    Addition,
    CheckpointKind,
    CustomerAnswer,
    ExtraWork,
    Flag,
    JobOperation,
    Operation,
    OperationState,
    ProcedureRevision,
    Proves,
)
from jobs.procedures.file.data import CheckpointData, OperationData, ProcedureData
from jobs.procedures.file.rows import data_of, save_operations
from jobs.record import OperationStanding
from jobs.recording.added_operation import read_added
from jobs.recording.signing import require_pin
from jobs.recording.work import Work
from shop.entries import Refused
from shop.events import append
from shop.revisions import RevisionState

# What is added to the route as a whole comes last in it.
END_OF_ROUTE = "route"


def operation_add(work: Work) -> dict[str, Any]:
    """Add an operation before one that has not begun; whatever gates it has hold for it too."""
    require_pin(work)
    target = _not_begun(work)
    near = target or work.record.operations[-1]
    data = _with_hot_work_checks(read_added(work, code=_free_code(work, near.code)))
    return _insert(work, target, data, copy_of=None)


def operation_repeat(work: Work) -> dict[str, Any]:
    """Have an operation done once more, with its checkpoints, before one that has not begun."""
    require_pin(work)
    target = _not_begun(work)
    asked = str(work.payload.get("repeat", ""))
    original = work.record.find(asked)
    if original is None or original.state != OperationState.FINISHED:
        raise BadInput({"repeat": _("Choose an operation that was done")})
    code = _free_code(work, original.code)
    (data,) = (
        each
        for each in data_of(original.operation.revision).operations
        if each.code == original.operation.code
    )
    again = _with_hot_work_checks(_renamed(data, code, _repeats(work, original, code)))
    return _insert(work, target, again, copy_of=original)


def copy_for_job(
    work: Work, data: OperationData, *, taken: Collection[str], stands_for: Mapping[str, str]
) -> Operation:
    """An operation to be done once more on this car, as a revision of its own under a free code.

    Args:
        taken: the codes that are not free.
        stands_for: which operation stands for which that is done once more too.
    """
    code = _free_number(data.code, taken)
    again = _with_hot_work_checks(_renamed(data, code, {**stands_for, data.code: code}))
    return _own_revision(work, again).operations.select_related("revision").get()


def _not_begun(work: Work) -> OperationStanding | None:
    """Before which operation it is added; None at the end of the route."""
    if work.subject == END_OF_ROUTE:
        return None
    operation = work.operation
    if operation.state != OperationState.WAITING:
        raise Refused(
            _("%(code)s is %(state)s; an operation is added before one that has not begun")
            % {"code": operation.code, "state": operation.job_operation.get_state_display()}
        )
    return operation


def _free_code(work: Work, near: str) -> str:
    """The next free number after an operation's, with its letter: W40 gives W41."""
    return _free_number(near, {o.code for o in work.record.operations})


def _free_number(near: str, taken: Collection[str]) -> str:
    letter, number = near[0], int(near[1:])
    return next(f"{letter}{n}" for n in range(number + 1, number + 1000) if f"{letter}{n}" not in taken)


def _repeats(work: Work, original: OperationStanding, code: str) -> dict[str, str]:
    """Which operation stands for which now: what was welded again is judged where it was welded again."""
    newest: dict[str, str] = {}
    for operation in work.record.operations:
        if operation.repeats:
            newest[operation.repeats] = operation.code
    return {**newest, original.code: code}


def _renamed(data: OperationData, code: str, stands_for: Mapping[str, str]) -> OperationData:
    names = {c.code: f"{code}.{n}" for n, c in enumerate(data.checkpoints, start=1)}
    checkpoints = tuple(
        replace(
            c,
            code=names[c.code],
            witness_of=names.get(c.witness_of, c.witness_of),
            made_in=stands_for.get(c.made_in, c.made_in),
        )
        for c in data.checkpoints
    )
    title = _("%(title)s, once more") % {"title": data.title}
    return replace(data, code=code, title=title[:160], after=(), checkpoints=checkpoints)


def _with_hot_work_checks(data: OperationData) -> OperationData:
    """No spark without a permit before it and a watch after it, whoever writes the operation."""
    if Flag.HOT_WORK not in data.gates:
        return data
    proved = {what for checkpoint in data.checkpoints for what in checkpoint.proves}
    before = () if Proves.PERMIT in proved else (_permit(),)
    after = () if Proves.FIRE_WATCH in proved else (_watch(),)
    return _numbered(data, (*before, *data.checkpoints, *after))


def _numbered(data: OperationData, checkpoints: tuple[CheckpointData, ...]) -> OperationData:
    """The operation with these checkpoints, numbered in their order; a witness follows what it reads."""
    codes = [f"{data.code}.{n}" for n in range(1, len(checkpoints) + 1)]
    names = {c.code: code for c, code in zip(checkpoints, codes, strict=True) if c.code}
    numbered = tuple(
        replace(c, code=code, witness_of=names.get(c.witness_of, c.witness_of))
        for c, code in zip(checkpoints, codes, strict=True)
    )
    return replace(data, checkpoints=numbered)


def _permit() -> CheckpointData:
    return CheckpointData(
        "",
        CheckpointKind.FIT,
        _("Hot-work permit"),
        go=_(
            "Battery and electronics isolated, fuel safe, surroundings clear, extinguisher here, watch named"
        ),
        proves=(Proves.PERMIT,),
    )


def _watch() -> CheckpointData:
    return CheckpointData(
        "", CheckpointKind.FIT, _("Fire watch"), go=_("Nothing smoulders"), proves=(Proves.FIRE_WATCH,)
    )


def _insert(
    work: Work, target: OperationStanding | None, data: OperationData, *, copy_of: OperationStanding | None
) -> dict[str, Any]:
    reason = work.text("reason", what=_("Give the reason; it shows on the papers"))
    extra_work = _extra_work(work)
    operation = _own_revision(work, data).operations.get()
    last = work.record.operations[-1]
    moved = make_room(work, target.position) if target else []
    made = JobOperation.objects.create(
        job=work.job,
        operation=operation,
        position=target.position if target else last.position + 1,
        also_after=list(target.after) if target else [last.code],
    )
    for row in moved:
        if target and row.pk == target.job_operation.pk:
            row.also_after = [*row.also_after, data.code]
            row.save(update_fields=["also_after"])
    addition = Addition.objects.create(
        job_operation=made,
        copy_of=copy_of.operation if copy_of else None,
        extra_work=extra_work,
        reason=reason,
        person=work.signer,
        added_at=work.now,
        entry=work.entry,
    )
    told = {"operation": data.code, "before": target.code if target else ""}
    work.tell("operation.added", told, addition, made, *moved)
    return told


def _own_revision(work: Work, data: OperationData) -> ProcedureRevision:
    """What was added is a revision of its own, for this car alone, and never changes either."""
    pinned = work.job.procedure_revision
    number = ProcedureRevision.objects.filter(for_job=work.job).count() + 1
    revision = ProcedureRevision.objects.create(
        procedure=pinned.procedure, revision=f"{work.job.number}-{number}", for_job=work.job
    )
    content = ProcedureData("", "", "", "", "", operations=(data,))
    rows = save_operations(content, revision)
    revision.state, revision.released_at = RevisionState.RELEASED, work.now
    revision.save(update_fields=["state", "released_at"])
    append(
        stream=f"procedure/{pinned.procedure.code}",
        kind="procedure.added_for_job",
        data={"job": work.job.number, "operation": data.code, "by": work.signer.pk},
        now=work.now,
        rows=[revision, *rows],
    )
    return revision


def make_room(work: Work, position: int) -> list[JobOperation]:
    """Make room in the route: the last one first, so that no place is ever taken twice."""
    later = list(JobOperation.objects.filter(job=work.job, position__gte=position).order_by("-position"))
    for row in later:
        row.position += 1
        row.save(update_fields=["position"])
    return later


def _extra_work(work: Work) -> ExtraWork | None:
    number = str(work.payload.get("extra_work", "")).strip()
    if not number:
        return None
    found = next((row for row in work.record.extra_works if str(row.number) == number), None)
    if found is None or found.withdrawn_at is not None or found.answer == CustomerAnswer.NO:
        raise BadInput({"extra_work": _("There is no extra work %(number)s") % {"number": number[:10]}})
    return found
