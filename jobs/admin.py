"""Jobs, procedures and all evidence in the administration pages: read there, recorded by the one door."""

from jobs.models import (
    Acceptance,
    Authority,
    Checkpoint,
    Job,
    JobOperation,
    Nonconformance,
    Operation,
    Override,
    Photo,
    Procedure,
    ProcedureRevision,
    Reopening,
    Result,
)
from shop.admin_sites import register_evidence

register_evidence(Job, "number", "customer", "vehicle", "bay", "opened_at", "released_at", find=("number",))
register_evidence(
    JobOperation, "job", "operation", "state", "started_at", "finished_at", find=("job__number",)
)
register_evidence(Procedure, "code", "name", "kit_code", "vehicle_family")
register_evidence(ProcedureRevision, "procedure", "revision", "state", "released_at")
register_evidence(Operation, "code", "title", "stage", "revision", find=("code", "title"))
register_evidence(Checkpoint, "code", "title", "kind", "limit", "operation", find=("code", "title"))
register_evidence(Authority, "job", "allows_cutting", "way", "given_at")
register_evidence(Result, "checkpoint", "verdict", "person", "instrument", "recorded_at")
register_evidence(Reopening, "result", "cause", "reason")
register_evidence(Acceptance, "result", "person", "second", "reason")
register_evidence(Override, "job", "reason_code", "person", "at")
register_evidence(Nonconformance, "job", "number", "text", "disposition", "opened_by", "closed_at")
register_evidence(Photo, "job", "caption", "taken_by", "taken_at")
