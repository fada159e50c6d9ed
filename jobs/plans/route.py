"""The rest of a car's route as the plan takes it: stays in bays, order, who may not do what. No queries."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from jobs.gates.needs import NEEDS, PROVED_INSIDE
from jobs.models import CheckpointKind, Flag, Stage, Stands
from jobs.planning import problem as planning
from jobs.record import JobRecord, OperationStanding

# Work at the desk or beside the car; all other stages take a bay.
WITHOUT_BAY = frozenset({Stage.INTAKE, Stage.RELEASE})
# What a second person's look takes where the route gives no time of its own; common practice, no source.
LOOK_MINUTES = 15
LOOK, WATCH = "look", "watch"


@dataclass(frozen=True)
class Route:
    """One car's operations that are not done, in order, cut into stays in one bay each."""

    record: JobRecord

    @property
    def job_id(self) -> str:
        return str(self.record.job.number)

    def id_of(self, operation: OperationStanding, part: str = "") -> str:
        return f"{self.job_id}/{operation.code}{' ' if part else ''}{part}"

    @cached_property
    def open(self) -> tuple[OperationStanding, ...]:
        return tuple(o for o in self.record.operations if not o.is_done)

    @cached_property
    def has_begun(self) -> bool:
        """Whether work that takes a bay has been started on this car."""
        return any(
            o.is_done or o.is_in_work for o in self.record.operations if o.operation.stage not in WITHOUT_BAY
        )

    @property
    def cannot_roll(self) -> bool:
        return self.record.job.stands == Stands.ON_STANDS

    @property
    def holds_its_bay(self) -> bool:
        """What has started stays where it is, and what cannot roll."""
        return self.record.job.bay_id is not None and (self.cannot_roll or self._in_the_middle)

    @property
    def _in_the_middle(self) -> bool:
        """Whether the stay that goes on now was begun here: something of it is done or in work."""
        stays = self._stays_of_all
        for stay in stays:
            if any(not o.is_done for o in stay):
                return any(o.is_done or o.is_in_work for o in stay)
        return False

    @cached_property
    def _stays_of_all(self) -> tuple[tuple[OperationStanding, ...], ...]:
        """All operations that take a bay, in runs: on the rack, or anywhere else; while it rolls the car
        goes to another bay for what the work so far did not take."""
        runs: list[list[OperationStanding]] = []
        rolls = True
        for operation in self.record.operations:
            if operation.operation.stage in WITHOUT_BAY:
                continue
            if (
                runs
                and _is_rack(runs[-1][0]) == _is_rack(operation)
                and not (rolls and _asks(operation, runs))
            ):
                runs[-1].append(operation)
            else:
                runs.append([operation])
            rolls = (rolls and not operation.does(Flag.STOPS_ROLLING)) or operation.does(Flag.ONTO_WHEELS)
        return tuple(map(tuple, runs))

    @cached_property
    def stays(self) -> tuple[tuple[OperationStanding, ...], ...]:
        """The stays that are still to come or going on, each with what is left to do in it."""
        left = (tuple(o for o in stay if not o.is_done) for stay in self._stays_of_all)
        return tuple(stay for stay in left if stay)

    @cached_property
    def stay_of(self) -> dict[str, int]:
        return {o.code: number for number, stay in enumerate(self.stays) for o in stay}

    def rolls_after(self, number: int) -> bool:
        """Whether the car stands on its wheels when a stay is over."""
        stops = self.cannot_roll
        for operation in (o for stay in self.stays[: number + 1] for o in stay):
            stops = (stops or operation.does(Flag.STOPS_ROLLING)) and not operation.does(Flag.ONTO_WHEELS)
        return not stops

    def before(self, operation: OperationStanding) -> tuple[OperationStanding, ...]:
        """What is not done and must be: by the procedure, by the gates, else what stands before it."""
        found = {o.code: o for o in self.record.must_come_before(operation)}
        for other in self._proving(operation):
            found[other.code] = other
        if not operation.after:
            previous = self._previous(operation)
            found |= {previous.code: previous} if previous else {}
        if operation.operation.stage == Stage.RELEASE:
            found |= {o.code: o for o in self.open if o.position < operation.position}
        return tuple(o for o in found.values() if not o.is_done and o.code != operation.code)

    def _proving(self, operation: OperationStanding) -> Iterator[OperationStanding]:
        for flag, proofs in NEEDS.items():
            if not operation.does(flag) or flag in PROVED_INSIDE:
                continue
            for other in self.record.earlier(operation):
                if any(c.proves(proof) for c in other.checkpoints for proof in proofs):
                    yield other

    def _previous(self, operation: OperationStanding) -> OperationStanding | None:
        return next((a for a, b in pairwise(self.open) if b.code == operation.code), None)

    def needs_look(self, operation: OperationStanding) -> bool:
        """Whether a second person is to look before it is done."""
        witnessed = any(
            c.checkpoint.kind == CheckpointKind.WITNESS and not c.is_closed for c in operation.checkpoints
        )
        return operation.operation.is_hold_point or witnessed

    def judged(self, operation: OperationStanding) -> frozenset[str]:
        """The operations whose welds are judged in this one: nobody judges their own."""
        kinds = (c.checkpoint for c in operation.checkpoints if c.checkpoint.kind == CheckpointKind.WELD)
        return frozenset(c.made_in for c in kinds if c.made_in and c.made_in != operation.code)

    def instruments(self, operation: OperationStanding) -> tuple[str, ...]:
        """The kinds of instruments of what is still to be read, as people say them."""
        kinds = {
            str(c.checkpoint.get_instrument_kind_display())
            for c in operation.open_checkpoints
            if c.checkpoint.instrument_kind
        }
        return tuple(sorted(kinds))


def _asks(operation: OperationStanding, runs: list[list[OperationStanding]]) -> bool:
    """Whether it takes something of its bay that nothing before it in the last run does."""
    so_far = {word for other in runs[-1] for word in other.operation.bay_features}
    return not so_far.issuperset(operation.operation.bay_features)


def _is_rack(operation: OperationStanding) -> bool:
    return operation.operation.stage == Stage.ALIGNMENT


def segments_of(route: Route, features: dict[str, list[str]]) -> tuple[planning.Segment, ...]:
    """The stays as segments; the first is held already where the car cannot leave it."""
    bay = route.record.job.bay
    return tuple(
        planning.Segment(
            id=segment_id(route, number),
            bay_features=frozenset(word for o in stay for word in features.get(o.operation.stage, [])),
            bay=str(bay.number) if number == 0 and bay is not None and route.holds_its_bay else None,
            rolls=route.rolls_after(number),
        )
        for number, stay in enumerate(route.stays)
    )


def segment_id(route: Route, number: int) -> str:
    return f"{route.job_id} stay {number + 1}"


def due_of(record: JobRecord, now: dt.datetime) -> tuple[dt.datetime, int]:
    """The end of the promised day and what lateness weighs; nothing where no date was promised."""
    promised = record.job.promised_on
    if promised is None:
        return now.replace(hour=0, minute=0) + dt.timedelta(days=3650), 0
    return dt.datetime.combine(promised + dt.timedelta(days=1), dt.time()), 1
