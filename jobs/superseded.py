"""Cars that are built to a revision which another has superseded, and what the newer one touches.

What is touched is found from the rows as they are, field by field, so that a field which comes later counts
without being named. Rather too much is touched than too little: it only means that somebody decides.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from django.db import models

from jobs.models import (
    Checkpoint,
    Flag,
    Job,
    Operation,
    ProcedureRevision,
    RevisionDecision,
    Stage,
)
from shop.revisions import RevisionState

# A standard time corrected changes no car. Everything else does, or may.
NOT_OF_THE_WORK = frozenset({"id", "revision", "operation", "position", "standard_minutes", "bay_features"})
# What a revision says of itself; what it says beside that (layout and the like) is about the structure.
ABOUT_ITSELF = frozenset(
    {"id", "procedure", "revision", "state", "note", "handover", "released_at", "for_job"}
)
STRUCTURE_STAGES = frozenset({Stage.CUTTING, Stage.DRILLING, Stage.WELDING})
STRUCTURE_FLAGS = frozenset({Flag.CUTS_STRUCTURE, Flag.HOT_WORK, Flag.FINISH_WELD})


@dataclass(frozen=True)
class Superseded:
    """A car's revision `old` that `new` has superseded, with nothing decided for this car yet.

    `touched` holds the codes of the operations that the newer one changes, leaves out, or has more before.
    """

    old: ProcedureRevision
    new: ProcedureRevision
    touched: frozenset[str]


def is_structural(stage: str, flags: Collection[str]) -> bool:
    """Whether an operation goes by the drawings of the structure."""
    return stage in STRUCTURE_STAGES or not STRUCTURE_FLAGS.isdisjoint(flags)


def decisions_of(jobs: Sequence[int]) -> dict[int, tuple[RevisionDecision, ...]]:
    """Every decision about a revision, by the key of its job, the oldest first."""
    found: dict[int, list[RevisionDecision]] = defaultdict(list)
    rows = RevisionDecision.objects.filter(job__in=jobs).select_related(
        "from_revision__procedure", "to_revision__procedure", "person", "second"
    )
    for row in rows.prefetch_related("passed__job_operation__operation", "passed__again__operation").order_by(
        "pk"
    ):
        found[row.job_id].append(row)
    return {key: tuple(of_job) for key, of_job in found.items()}


def successor_of(job: Job) -> ProcedureRevision | None:
    """The revision in force where the job's own has been superseded; decided about or not."""
    if job.released_at is not None or job.procedure_revision.state != RevisionState.SUPERSEDED:
        return None
    return (
        ProcedureRevision.objects.filter(
            procedure=job.procedure_revision.procedure_id, state=RevisionState.RELEASED, for_job=None
        )
        .select_related("procedure")
        .first()
    )


def superseded_of(
    jobs: Sequence[Job], decisions: dict[int, tuple[RevisionDecision, ...]]
) -> dict[int, Superseded]:
    """The cars for which somebody has still to decide. No query where no revision is superseded."""
    behind = [
        job
        for job in jobs
        if job.released_at is None and job.procedure_revision.state == RevisionState.SUPERSEDED
    ]
    if not behind:
        return {}
    in_force = {
        row.procedure_id: row
        for row in ProcedureRevision.objects.filter(
            procedure__in={job.procedure_revision.procedure_id for job in behind},
            state=RevisionState.RELEASED,
            for_job=None,
        ).select_related("procedure")
    }
    found: dict[int, Superseded] = {}
    touched: dict[tuple[int, int], frozenset[str]] = {}
    for job in behind:
        old, new = job.procedure_revision, in_force.get(job.procedure_revision.procedure_id)
        decided = {row.to_revision_id for row in decisions.get(job.pk, ())}
        if new is not None and new.pk not in decided:
            pair = (old.pk, new.pk)
            touched[pair] = touched.get(pair) or touched_codes(old, new)
            found[job.pk] = Superseded(old, new, touched[pair])
    return found


def touched_codes(old: ProcedureRevision, new: ProcedureRevision) -> frozenset[str]:
    """The operations of either revision that are not the same in both."""
    before, now = _operations(old), _operations(new)
    checks = _checkpoints([*before.values(), *now.values()])
    drawn_anew = _said(old, ABOUT_ITSELF) != _said(new, ABOUT_ITSELF)
    found = set(before.keys() ^ now.keys()) | _out_of_order(list(before), list(now))
    for code in before.keys() & now.keys():
        a, b = before[code], now[code]
        if _said(a) != _said(b) or checks[a.pk] != checks[b.pk]:
            found.add(code)
        if drawn_anew and (is_structural(a.stage, a.flags) or is_structural(b.stage, b.flags)):
            found.add(code)
    return frozenset(found)


def _operations(revision: ProcedureRevision) -> dict[str, Operation]:
    return {row.code: row for row in Operation.objects.filter(revision=revision).order_by("position")}


def _checkpoints(operations: Iterable[Operation]) -> dict[int, list[dict[str, Any]]]:
    found: dict[int, list[dict[str, Any]]] = defaultdict(list)
    rows = Checkpoint.objects.filter(operation__in=[o.pk for o in operations])
    for row in rows.order_by("operation", "position"):
        found[row.operation_id].append(_said(row))
    return found


def _said(row: models.Model, without: frozenset[str] = NOT_OF_THE_WORK) -> dict[str, Any]:
    return {f.name: getattr(row, f.attname) for f in row._meta.concrete_fields if f.name not in without}


def _out_of_order(old: list[str], new: list[str]) -> set[str]:
    """Operations that have others before them than they had, or come straight behind a new one."""
    common = set(old) & set(new)
    before = _predecessors([code for code in old if code in common])
    now = _predecessors([code for code in new if code in common])
    behind_new = {b for a, b in pairwise(new) if a not in common and b in common}
    return behind_new | {code for code in common if before[code] != now[code]}


def _predecessors(codes: list[str]) -> dict[str, frozenset[str]]:
    return {code: frozenset(codes[:n]) for n, code in enumerate(codes)}
