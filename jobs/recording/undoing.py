"""What work does to evidence that was there before it: it must be looked at again."""

from collections.abc import Iterator

from jobs.models import Flag, Proves, ReopeningCause
from jobs.record import CheckpointStanding, CheckState, OperationStanding
from jobs.recording.work import Work, reopen


def hot_work_done(work: Work, operation: OperationStanding) -> None:
    """New sparks: the watch is kept again; welds are judged and the structure is measured again."""
    for standing in (*_watches(work, operation), *_looked_at(work, operation)):
        if standing.is_closed and standing.current is not None:
            reopen(work, standing.current, ReopeningCause.HOT_WORK, operation.code)


def tacked_again(work: Work, operation: OperationStanding) -> None:
    """A tack pulls what it holds: where the cradle stands is measured again before it is welded out."""
    for standing in work.record.checkpoints:
        is_after = work.record.position_of(standing) >= operation.position
        if is_after and standing.proves(Proves.TACK_POSITION) and standing.is_closed and standing.current:
            reopen(work, standing.current, ReopeningCause.HOT_WORK, operation.code)


def witness_again(work: Work, first: CheckpointStanding) -> None:
    """A first reading was taken anew: a second person's reading of the old one proves nothing now."""
    for standing in [c for c in work.record.checkpoints if c.checkpoint.witness_of == first.code]:
        if standing.current is not None and standing.state != CheckState.DOES_NOT_CONFORM:
            reopen(work, standing.current, ReopeningCause.READ_ANEW, first.code)


def weld_again(work: Work, weld: CheckpointStanding, reason: str) -> None:
    """A weld was sent back: its operation is worked on again, by permit and with a watch after it."""
    made_in = work.record.find(weld.checkpoint.made_in)
    for standing in made_in.checkpoints if made_in else ():
        is_work = standing.code != weld.code and not standing.proves(Proves.PERMIT)
        if is_work and standing.is_closed and standing.current is not None:
            reopen(work, standing.current, ReopeningCause.REWORK, reason)


def _watches(work: Work, operation: OperationStanding) -> Iterator[CheckpointStanding]:
    """The first watch at or after an operation."""
    after = [o for o in work.record.operations if o.position >= operation.position]
    for o in after:
        found = [c for c in o.checkpoints if c.proves(Proves.FIRE_WATCH)]
        if found:
            yield from found
            return


def _looked_at(work: Work, operation: OperationStanding) -> Iterator[CheckpointStanding]:
    """What was judged of an operation's welds, and measured after a finish weld.

    Work that was added may come after the looking: where nobody looks at it later, it is looked at again.
    """
    every = work.record.checkpoints
    judged = [c for c in every if c.checkpoint.made_in == operation.code]
    done_before = work.record.stands_for(operation)
    yield from judged or [c for c in every if c.checkpoint.made_in in done_before]
    if operation.does(Flag.FINISH_WELD):
        measured = [c for c in every if c.proves(Proves.REMEASURE)]
        later = [c for c in measured if work.record.position_of(c) > operation.position]
        yield from later or (measured if operation.is_added else [])
