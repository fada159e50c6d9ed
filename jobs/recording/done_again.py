"""Having what was done on a car done once more, in its place in the route, before what comes behind it."""

from collections.abc import Collection, Iterable, Iterator
from typing import Any

from django.utils.translation import gettext as _

from jobs.models import Addition, JobOperation, Omission, OperationState
from jobs.procedures.file.rows import data_of
from jobs.record import JobRecord, OperationStanding
from jobs.recording import time
from jobs.recording.additions import copy_for_job, make_room
from jobs.recording.work import Work, set_state
from shop.entries import Refused

MOST_REASON = 300


def leave_off(work: Work, standing: OperationStanding, reason: str) -> None:
    """An operation goes no further on this car; nobody is at work on it any more."""
    made = Omission.objects.create(
        job_operation=standing.job_operation,
        reason=reason[:MOST_REASON],
        person=work.signer,
        omitted_at=work.now,
        entry=work.entry,
    )
    work.tell("operation.omitted", {"operation": standing.code}, made)
    set_state(work, standing, OperationState.NOT_APPLICABLE)
    time.close_all(work, standing)


def do_again(work: Work, codes: Collection[str], *, reason: str) -> dict[str, str]:
    """Have operations that have begun done once more, with their checkpoints and gates.

    What is in work goes no further. What is to be done once more already is not added again.

    Args:
        codes: operations of the route; one that was done once more stands for what it repeats.
    Returns: the code under which each is done once more.
    Raises:
        Refused: a nonconformance is open at one that would go no further.
    """
    again, codes_again = _Again(work), {}
    for standing in work.record.operations:
        if standing.code in codes:
            codes_again[standing.code] = again.of(_newest(work.record, standing), reason)
    return codes_again


def _newest(record: JobRecord, standing: OperationStanding) -> OperationStanding:
    """The operation itself, or the last that does it once more."""
    while later := record.once_more(standing.code):
        standing = later[-1]
    return standing


class _Again:
    """The copies that one entry makes: each knows those before it."""

    def __init__(self, work: Work) -> None:
        self.work = work
        self.taken = {o.code for o in work.record.operations}
        self.made: dict[str, str] = {}

    def of(self, standing: OperationStanding, reason: str) -> str:
        """The code under which it is done once more."""
        if standing.state == OperationState.WAITING:
            return standing.code
        _refuse_open(self.work, standing)
        revision = standing.operation.revision
        (data,) = (each for each in data_of(revision).operations if each.code == standing.code)
        copy = copy_for_job(self.work, data, taken=self.taken, stands_for=self.made)
        if standing.is_in_work:
            leave_off(self.work, standing, reason)
        row, moved = self._placed(standing, copy)
        waiting = list(self._behind(standing))
        for each in waiting:
            each.also_after = [*each.also_after, copy.code]
            each.save(update_fields=["also_after"])
        addition = Addition.objects.create(
            job_operation=row,
            copy_of=standing.operation,
            reason=reason[:MOST_REASON],
            person=self.work.signer,
            added_at=self.work.now,
            entry=self.work.entry,
        )
        told = {"operation": copy.code, "behind": standing.code}
        self.work.tell("operation.added", told, addition, row, *moved, *waiting)
        self.taken.add(copy.code)
        self.made[standing.code] = copy.code
        return copy.code

    def _placed(self, standing: OperationStanding, copy: Any) -> tuple[JobOperation, list[JobOperation]]:
        """Straight behind what it does once more; those behind it make room."""
        record = self.work.record
        # Those made before it have moved the route on.
        place = JobOperation.objects.values_list("position", flat=True).get(pk=standing.job_operation.pk) + 1
        moved = make_room(self.work, place)
        before = [self.made[code] for code in self.made if _leads_to(record, standing.after, code)]
        row = JobOperation.objects.create(
            job=self.work.job,
            operation=copy,
            position=place,
            also_after=list(dict.fromkeys([*standing.after, *before])),
        )
        return row, moved

    def _behind(self, standing: OperationStanding) -> Iterator[JobOperation]:
        """What has not begun and comes behind it, with nothing between that has not begun either."""
        for other in self.work.record.operations:
            if other.state == OperationState.WAITING and _leads_to(
                self.work.record, other.after, standing.code
            ):
                yield other.job_operation


def _leads_to(record: JobRecord, after: Iterable[str], code: str) -> bool:
    """Whether what must be done before something leads back to an operation over such as have begun."""
    asked, seen = list(after), set[str]()
    while asked:
        at = asked.pop()
        if at == code:
            return True
        standing = record.find(at)
        if at not in seen and standing is not None and standing.state != OperationState.WAITING:
            asked += standing.after
        seen.add(at)
    return False


def _refuse_open(work: Work, standing: OperationStanding) -> None:
    """A problem is about a checkpoint of what would go no further; the lead settles it first."""
    if not standing.is_in_work:
        return
    for problem in work.record.open_nonconformances:
        if problem.job_operation_id == standing.job_operation.pk:
            words = {"number": problem.number, "code": standing.code}
            raise Refused(
                _("Nonconformance %(number)d is open at %(code)s; close it first, then decide") % words
            )
