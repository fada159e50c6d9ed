"""What a procedure file says, as plain frozen data. Lines are kept beside it and do not count as content."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

NO_LINE = 0


@dataclass(frozen=True)
class CautionData:
    signal: str
    text: str


@dataclass(frozen=True)
class ComeBackData:
    """What the customer comes back for, and after how long or how far."""

    after: str
    what: str


@dataclass(frozen=True)
class HandoverData:
    """What whoever gets the car back is told."""

    come_back: tuple[ComeBackData, ...] = ()
    cautions: tuple[CautionData, ...] = ()


@dataclass(frozen=True)
class CheckpointData:
    """One checkpoint, its limits as they were written."""

    code: str
    kind: str
    title: str
    side: str = ""
    limit: str = ""
    records: str = ""
    equal: str = ""
    angle: str = ""
    instrument: str = ""
    angle_instrument: str = ""
    proves: tuple[str, ...] = ()
    joint: str = ""
    lubricant: str = ""
    thread: str = ""
    grade: str = ""
    grip: str = ""
    castle_nut: str = ""
    prevailing: str = ""
    pattern: int | None = None
    passes: tuple[str, ...] = ()
    lowered_from: str = ""
    is_single_use: bool = False
    at_ride_height: bool = False
    made_in: str = ""
    criteria: tuple[str, ...] = ()
    count: int | None = None
    go: str = ""
    shows: str = ""
    witness_of: str = ""
    agree: str = ""
    mark: str = ""
    line: int = field(default=NO_LINE, compare=False)
    lines: dict[str, int] = field(default_factory=dict, compare=False, repr=False)

    def line_of(self, key: str) -> int:
        return self.lines.get(key, self.line)


@dataclass(frozen=True)
class WallData:
    """One wall that a hole goes through; what is empty is as the hole says."""

    name: str
    thickness: str = ""
    work: str = ""
    size: str = ""


@dataclass(frozen=True)
class HoleData:
    """Holes of one kind at an operation, sizes as they were written.

    `takes` goes through them, `takes_size` across at its largest; `held` where one part holds it. `measured`,
    `offset` and `edge_measured` name the checkpoints at which the hole, the error of its position and its
    distance from the edge are read.
    """

    name: str
    size: str
    count: int | None = None
    work: str = ""
    tool: str = ""
    walls: tuple[WallData, ...] = ()
    takes: str = ""
    takes_size: str = ""
    held: bool = False
    measured: str = ""
    offset: str = ""
    edge: str = ""
    edge_measured: str = ""
    lines: dict[str, int] = field(default_factory=dict, compare=False, repr=False)


@dataclass(frozen=True)
class OperationData:
    """One operation; `after` names the operations that come before it, defaults filled in."""

    code: str
    stage: str
    title: str
    minutes: int
    skill: str
    gates: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    is_hold_point: bool = False
    steps: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    consumables: tuple[str, ...] = ()
    cautions: tuple[CautionData, ...] = ()
    bay_features: tuple[str, ...] = ()
    holes: tuple[HoleData, ...] = ()
    checkpoints: tuple[CheckpointData, ...] = ()
    line: int = field(default=NO_LINE, compare=False)
    lines: dict[str, int] = field(default_factory=dict, compare=False, repr=False)

    def line_of(self, key: str) -> int:
        return self.lines.get(key, self.line)


@dataclass(frozen=True)
class ProcedureData:
    """A whole file."""

    code: str
    name: str
    revision: str
    kit: str
    vehicle_family: str
    note: str = ""
    layout: dict[str, Any] = field(default_factory=dict)
    operations: tuple[OperationData, ...] = ()
    handover: HandoverData = HandoverData()
    lines: dict[str, int] = field(default_factory=dict, compare=False, repr=False)

    def checkpoints(self) -> Iterator[tuple[OperationData, CheckpointData]]:
        for operation in self.operations:
            for checkpoint in operation.checkpoints:
                yield operation, checkpoint
