"""What a newer revision changes for one car on the floor, and which of it the car has passed already."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from django.utils.translation import gettext_lazy as _

from jobs.models import SAFETY_JOINTS, CheckpointKind, OperationState, ProcedureRevision
from jobs.models.procedures import SAFETY_PROOFS
from jobs.procedures.difference_words import DifferenceWords, ItemWords, difference_words
from jobs.procedures.differences import ABOUT_ITSELF, Differences, ItemChange, differences
from jobs.procedures.file import OperationData, ProcedureData
from jobs.procedures.file.rows import data_of
from jobs.record import JobRecord, OperationStanding
from jobs.superseded import is_structural
from shop.models import ShopSettings

# Where these alone differ, what was done is as the newer revision has it.
NOT_OF_WHAT_WAS_DONE = frozenset({"minutes", "after"})


class Where(StrEnum):
    """Where a car stands at an operation that the newer revision changes."""

    NEW = "new"
    NOT_BEGUN = "not_begun"
    IN_WORK = "in_work"
    FINISHED = "finished"
    LEFT_OUT = "left_out"


WHERE_WORDS = {
    Where.NEW: _("new in the route"),
    Where.NOT_BEGUN: _("not begun on this car"),
    Where.IN_WORK: _("in work on this car"),
    Where.FINISHED: _("finished on this car"),
    Where.LEFT_OUT: _("left out on this car"),
}
WHERE_OF = {
    OperationState.WAITING: Where.NOT_BEGUN,
    OperationState.IN_WORK: Where.IN_WORK,
    OperationState.FINISHED: Where.FINISHED,
    OperationState.NOT_APPLICABLE: Where.LEFT_OUT,
}
PASSED = frozenset({Where.IN_WORK, Where.FINISHED, Where.LEFT_OUT})


@dataclass(frozen=True)
class Between:
    """Two revisions and all that lies between them."""

    old: ProcedureRevision
    new: ProcedureRevision
    new_data: ProcedureData
    found: Differences
    words: DifferenceWords

    @classmethod
    def of(cls, old: ProcedureRevision, new: ProcedureRevision) -> "Between":
        after = data_of(new)
        found = differences(data_of(old), after)
        return cls(old, new, after, found, difference_words(found, settings=ShopSettings.current()))

    @property
    def is_drawn_anew(self) -> bool:
        """Whether the layout or another part about the structure as a whole says something else."""
        return any(change.key not in ABOUT_ITSELF for change in self.found.fields)


@dataclass(frozen=True)
class ChangedPoint:
    """One operation that the newer revision changes, as it stands on one car.

    `asks` says that it was begun already, and that somebody must say what becomes of what was done.
    """

    code: str
    title: str
    where: Where
    words: ItemWords | None
    standing: OperationStanding | None
    is_in_new: bool
    is_safety: bool
    asks: bool

    @property
    def where_words(self) -> str:
        return str(WHERE_WORDS[self.where])

    @property
    def is_passed(self) -> bool:
        return self.where in PASSED


@dataclass(frozen=True)
class CarChange:
    """One car and what the newer revision changes for it."""

    record: JobRecord
    between: Between
    points: tuple[ChangedPoint, ...]

    @property
    def asked(self) -> tuple[ChangedPoint, ...]:
        """What was begun already and is changed."""
        return tuple(point for point in self.points if point.asks)

    @property
    def touches_safety(self) -> bool:
        return any(point.is_safety for point in self.points)


def car_change(record: JobRecord, between: Between) -> CarChange:
    """What lies between two revisions, operation by operation, for one car."""
    own = {o.code: o for o in record.operations if not o.is_added}
    after = {o.code: o for o in between.new_data.operations}
    found = [_point(change, own.get(change.code), between) for change in between.found.operations]
    named = {point.code for point in found}
    if between.is_drawn_anew:
        found += _drawn_anew(own, after, without=named)
    return CarChange(record, between, tuple(found))


def _point(change: ItemChange, standing: OperationStanding | None, between: Between) -> ChangedPoint:
    where = Where.NEW if standing is None else WHERE_OF[OperationState(standing.state)]
    new = change.new if isinstance(change.new, OperationData) else None
    return ChangedPoint(
        code=change.code,
        title=change.title,
        where=where,
        words=between.words.of(change.code),
        standing=standing,
        is_in_new=new is not None,
        is_safety=_is_safety(standing, new) or any(f.key == "gates" for f in change.fields),
        asks=where in PASSED and (_changes_what_was_done(change) or _is_drawn_anew(new, between)),
    )


def _drawn_anew(
    own: dict[str, OperationStanding], after: dict[str, OperationData], *, without: set[str]
) -> Iterator[ChangedPoint]:
    """Operations that say the same, but go by drawings that do not."""
    for code, data in after.items():
        standing = own.get(code)
        if code not in without and standing is not None and is_structural(data.stage, data.gates):
            where = WHERE_OF[OperationState(standing.state)]
            safety = _is_safety(standing, data)
            yield ChangedPoint(code, data.title, where, None, standing, True, safety, where in PASSED)


def _changes_what_was_done(change: ItemChange) -> bool:
    return (
        change.new is None
        or bool(change.inside)
        or any(field.key not in NOT_OF_WHAT_WAS_DONE for field in change.fields)
    )


def _is_drawn_anew(new: OperationData | None, between: Between) -> bool:
    return new is not None and between.is_drawn_anew and is_structural(new.stage, new.gates)


def _is_safety(standing: OperationStanding | None, new: OperationData | None) -> bool:
    """Whether steering, suspension, brakes or welds are proved in it, before or now."""
    before = any(c.checkpoint.is_safety for c in standing.checkpoints) if standing else False
    return before or any(
        c.joint in SAFETY_JOINTS or c.kind == CheckpointKind.WELD or not SAFETY_PROOFS.isdisjoint(c.proves)
        for c in (new.checkpoints if new else ())
    )
