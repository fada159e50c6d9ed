"""By which limits and rules the results on a paper were judged: as kept with them, whatever holds today."""

from collections.abc import Iterator, Mapping
from typing import Any

from jobs.record import CheckpointStanding, JobRecord
from shop.engineering.limits import Limits


def as_judged(limits: Limits, standing: CheckpointStanding) -> Limits:
    """A limit that takes the shop's default: with the default by which its result in force was judged."""
    result = standing.current
    if result is None or not limits.default_applied:
        return limits
    kept = (part["limits"] for part in _parts(result.decision) if isinstance(part.get("limits"), Mapping))
    found = next((one for one in kept if one.get("text") == limits.text), None)
    return Limits.from_json(found) if found else limits


def rules_of(record: JobRecord) -> tuple[str, ...]:
    """The names of the decision rules behind all results in force; the shop's own where there is none."""
    found = {
        str(part["rule"]["name"])
        for standing in record.checkpoints
        if standing.current is not None
        for part in _parts(standing.current.decision)
        if isinstance(part.get("rule"), Mapping)
    }
    return tuple(sorted(found)) or (record.settings.decision_rule,)


def _parts(decision: Mapping[str, Any]) -> Iterator[Mapping[str, Any]]:
    yield decision
    for inner in decision.values():
        if isinstance(inner, Mapping):
            yield from _parts(inner)
