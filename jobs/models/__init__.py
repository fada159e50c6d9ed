"""Procedures, jobs and the evidence of the work."""

from jobs.models.evidence import (
    Acceptance,
    Disposition,
    Nonconformance,
    Override,
    Photo,
    Reopening,
    ReopeningCause,
    Result,
    ResultVerdict,
)
from jobs.models.jobs import Authority, AuthorityWay, Job, JobOperation, OperationState, Stands
from jobs.models.procedures import (
    SAFETY_JOINTS,
    Checkpoint,
    CheckpointKind,
    Flag,
    Joint,
    Operation,
    Procedure,
    ProcedureRevision,
    Proves,
    Stage,
)

__all__ = [
    "SAFETY_JOINTS",
    "Acceptance",
    "Authority",
    "AuthorityWay",
    "Checkpoint",
    "CheckpointKind",
    "Disposition",
    "Flag",
    "Job",
    "JobOperation",
    "Joint",
    "Nonconformance",
    "Operation",
    "OperationState",
    "Override",
    "Photo",
    "Procedure",
    "ProcedureRevision",
    "Proves",
    "Reopening",
    "ReopeningCause",
    "Result",
    "ResultVerdict",
    "Stage",
    "Stands",
]
