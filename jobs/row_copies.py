"""Copies of loaded rows: what one reader does to its rows is never met by another.

What is frozen or only referred to (checkpoints, operations, people, instruments) is shared; the rows of one
car are copied with all that hangs on them.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from django.db import models
from django.db.models.base import ModelState

from jobs.fetching import Fetched
from jobs.models import Checkpoint, JobOperation, Operation, Procedure, ProcedureRevision
from jobs.standing import CheckpointStanding, OperationStanding
from shop.models import Instrument, Person

SHARED = frozenset({Checkpoint, Operation, ProcedureRevision, Procedure, Person, Instrument, type(None)})
Row = TypeVar("Row", bound=models.Model)


class Copies:
    """Copies that refer to each other as their rows do; an operation of the car is one row for all."""

    def __init__(self, operations: Iterable[JobOperation]) -> None:
        self._made: dict[int, models.Model] = {}
        self._operations = {row.pk: row for row in operations}

    def of(self, row: Row) -> Row:
        made = self._made.get(id(row))
        if made is None:
            made = self._copied(row)
        return made  # type: ignore[return-value]

    def each(self, rows: Mapping[int, tuple[Row, ...]]) -> dict[int, tuple[Row, ...]]:
        """Copies of rows by the key of their job."""
        return {key: tuple(map(self.of, of_job)) for key, of_job in rows.items()}

    def _copied(self, row: models.Model) -> models.Model:
        made = row.__class__.__new__(row.__class__)
        self._made[id(row)] = made
        made.__dict__.update(row.__dict__)
        state = made.__dict__["_state"] = ModelState()
        state.db, state.adding = row._state.db, False
        state.fields_cache = linked = dict(row._state.fields_cache)
        for name, to in row._state.fields_cache.items():
            if to.__class__ not in SHARED:
                linked[name] = self._linked(to)
        return made

    def _linked(self, to: Any) -> Any:
        if isinstance(to, JobOperation):
            to = self._operations.get(to.pk, to)
        return self.of(to)


def copy_of(fetched: Fetched) -> Fetched:
    """The same facts in rows of their own, whatever becomes of them."""
    standings = [o for of_job in fetched.operations.values() for o in of_job]
    copies = Copies(o.job_operation for o in standings)
    operations = {
        key: tuple(_operation(standing, copies) for standing in of_job)
        for key, of_job in fetched.operations.items()
    }
    return replace(
        fetched,
        operations=operations,
        authorities=copies.each(fetched.authorities),
        overrides=copies.each(fetched.overrides),
        nonconformances=copies.each(fetched.nonconformances),
        extra_works=copies.each(fetched.extra_works),
        found_works=copies.each(fetched.found_works),
        deviations=copies.each(fetched.deviations),
        omissions=copies.each(fetched.omissions),
        decisions=copies.each(fetched.decisions),
        kit_decisions=copies.each(fetched.kit_decisions),
    )


def _operation(standing: OperationStanding, copies: Copies) -> OperationStanding:
    row = copies.of(standing.job_operation)
    checkpoints = tuple(_checkpoint(c, row, copies) for c in standing.checkpoints)
    return OperationStanding(row, standing.operation, checkpoints)


def _checkpoint(standing: CheckpointStanding, row: JobOperation, copies: Copies) -> CheckpointStanding:
    deviation = copies.of(standing.deviation) if standing.deviation else None
    results = tuple(map(copies.of, standing.results))
    for result in results:
        result._state.fields_cache["checkpoint"] = standing.checkpoint
    return CheckpointStanding(standing.checkpoint, row, results, deviation)
