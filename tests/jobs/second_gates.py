"""What must hold before work on the short route, written a second time: by operation, straight from the rows.

It knows what was changed for the car. An operation that is done once more stands for its original, with the
same numbers behind its checkpoints; what was left out is asked for no more; a result counts only under the
limit that holds.
"""

import datetime as dt
from dataclasses import dataclass
from functools import cached_property
from zoneinfo import ZoneInfo

from jobs.models import Authority, Checkpoint, Deviation, Job, JobOperation, Override, Result
from parts.models import KitDecision, KitLine, KitOrder, KitRevision, ReceiptLine
from tests.jobs.short_files import GOOD

MUST_BE_CLOSED = {
    "C20": ("I10.1", "T20.1", "T20.2", "C10.1", "C10.2"),
    "W30": ("W10.1", "W10.2", "W20.2"),
    "W50": ("W40.1",),
    "A10": ("W40.1", "W40.2"),
    "A20": ("A10.1",),
    "L10": ("A10.1", "A10.2", "A10.3", "A10.4", "A20.1", "A20.2"),
}
MAY_BE_SET_ASIDE = {"I10.1", "W10.1", "W10.2", "W20.2", "W40.2"}
# The welds are looked at and measured after the last spark of the finish weld.
AFTER_THE_WELD = {"W40.1", "W40.2"}
HOT = {"C20", "W20", "W30"}
# Nothing later stands on these; what a lead added may go again.
MAY_BE_LEFT_OUT = {"T10", "C20", "W50", "L10"}
BEFORE_A_CUT = {"I10", "T20", "C10"}
# A limit of one car alone, and what is read under it.
OWN_LIMITS = {
    "C10.1": ("30 ±1/16 in", {"value": "30"}),
    "T20.2": ("5 ±0.5°", {"value": "5"}),
    "W20.2": ("15 ±1/8 in", {"left": "15", "right": "15"}),
    "A10.3": ("45 ±10 % lbf·ft", {"value": "45"}),
}
ZONE = ZoneInfo("America/Chicago")
KIT_COLUMNS = ("part_number", "description", "quantity", "side", "is_critical", "thread", "grade", "length")


@dataclass(frozen=True)
class Row:
    """An operation of the car. `root` is the one of the short route that it stands for; empty where none."""

    code: str
    position: int
    state: str
    root: str
    flags: frozenset[str]
    started_at: dt.datetime | None
    key: int

    @property
    def is_hot(self) -> bool:
        return "hot_work" in self.flags

    @property
    def asks_like(self) -> str:
        """Of an operation that was added, what cuts is asked for like the cut."""
        return self.root or ("C20" if "cuts_structure" in self.flags else "")


class SecondGates:
    """The rows of one car at one moment."""

    def __init__(self, job: Job, now: dt.datetime) -> None:
        self.job, self.now = Job.objects.get(pk=job.pk), now
        rows = JobOperation.objects.filter(job=job).select_related("operation", "addition__copy_of", "job")
        found: dict[str, Row] = {}
        for row in rows.order_by("pk"):
            addition, code = getattr(row, "addition", None), row.operation.code
            copy = addition.copy_of if addition else None
            root = found[copy.code].root if copy else ("" if addition else code)
            flags = frozenset(row.operation.flags)
            found[code] = Row(code, row.position, row.state, root, flags, row.started_at, row.operation_id)
        self.rows = found

    @cached_property
    def checkpoints(self) -> dict[str, Checkpoint]:
        every = Checkpoint.objects.filter(operation__in=[row.key for row in self.rows.values()])
        return {one.code: one for one in every}

    @cached_property
    def results(self) -> dict[str, list[Result]]:
        found: dict[str, list[Result]] = {}
        rows = Result.objects.filter(job_operation__job=self.job).order_by("pk")
        for row in rows.select_related(
            "checkpoint", "entry", "reopening", "acceptance", "deviation", "job_operation__operation"
        ):
            found.setdefault(row.checkpoint.code, []).append(row)
        return found

    def root_of(self, checkpoint: str) -> str:
        """The checkpoint of the short route that one stands for, by the number behind its operation."""
        code, _dot, number = checkpoint.partition(".")
        return f"{self.rows[code].root}.{number}" if self.rows[code].root else ""

    def proves(self, checkpoint: str, what: str) -> bool:
        return what in self.checkpoints[checkpoint].proves

    def in_force(self, code: str) -> Result | None:
        """The newest result, where it holds: not opened again, conforming under today's limit or accepted."""
        last = self.results.get(code, [None])[-1]
        if last is None or hasattr(last, "reopening"):
            return None
        if hasattr(last, "acceptance"):
            return last
        return last if last.verdict == "conforms" and self._is_within(last) else None

    def _is_within(self, result: Result) -> bool:
        root = self.root_of(result.checkpoint.code)
        if root not in OWN_LIMITS:
            return True
        now = Deviation.objects.filter(
            job=self.job, checkpoint=result.checkpoint, withdrawn_at=None, limit__gt=""
        ).first()
        own = OWN_LIMITS[root][1]
        asked = own if now else {name: GOOD[root][name] for name in own}
        read = {name: result.entry.payload.get(name) for name in asked}
        return result.deviation == now and read == asked

    def faults_before(self, operation: str, kind: str, checkpoint: str) -> list[str]:
        """What does not hold before an entry on an operation."""
        row, faults = self.rows[operation], []
        if row.asks_like in {"T10", "C20"} and kind == "start":
            if not Authority.objects.filter(job=self.job, allows_cutting=True).exists():
                faults.append("authority")
            if not ReceiptLine.objects.filter(receipt__order=self.job.kit_order).exists():
                faults.append("kit not counted")
        if kind in {"start", "finish"}:
            faults += self._kit_list(row)
        if checkpoint and self.proves(checkpoint, "permit"):
            return faults
        for code in self._needed(row):
            faults += self._not_closed(row, code)
        is_watch = bool(checkpoint) and self.proves(checkpoint, "fire_watch")
        if row.is_hot and kind == "reading" and not is_watch:
            faults += self._permit(row)
        return faults + (self._watch(row) if is_watch else [])

    def _kit_list(self, row: Row) -> list[str]:
        """The list in force has another line for it than the car's own list, and nobody has decided."""
        order = KitOrder.objects.select_related("kit_revision").get(pk=self.job.kit_order_id)
        new = KitRevision.objects.filter(kit=order.kit_revision.kit_id, state="released").first()
        if new is None or KitDecision.objects.filter(order=order, to_revision=new).exists():
            return []
        lines = KitLine.objects.filter(operation=row.root).order_by("part_number")
        of_each = [
            list(lines.filter(revision=one).values_list(*KIT_COLUMNS)) for one in (order.kit_revision, new)
        ]
        return [] if of_each[0] == of_each[1] else ["kit list undecided"]

    def check_rework(self) -> None:
        """Where rework was decided, whatever had begun with a part that changed is to be done once more."""
        decision = KitDecision.objects.filter(order=self.job.kit_order_id).order_by("pk").last()
        assert decision is not None
        for code in decision.fitted if decision.answer == "rework" else ():
            mine = [row for row in self.rows.values() if row.root == code]
            assert mine[-1].state == "waiting", code
            assert max(mine, key=lambda row: row.position) is mine[-1], code

    def _needed(self, row: Row) -> list[str]:
        """The checkpoints that must be closed: the route's own and those of work done once more."""
        before = [o for o in self.rows.values() if o.position < row.position and o.state != "not_applicable"]
        found = []
        for code in MUST_BE_CLOSED.get(row.asks_like, ()):
            root, _dot, number = code.partition(".")
            found += [f"{o.code}.{number}" for o in before if o.root == root]
        if row.asks_like == "A10":
            earlier = {o.code for o in before}
            found += [
                code
                for code, one in self.checkpoints.items()
                if "fire_watch" in one.proves and code.partition(".")[0] in earlier
            ]
        return found

    def _not_closed(self, row: Row, code: str) -> list[str]:
        result, root = self.in_force(code), self.root_of(code)
        if result is None:
            return [] if root in MAY_BE_SET_ASIDE and self._set_aside(row, code) else [code]
        moved = self.job.moved_at
        if root.startswith("T20") and moved and result.recorded_at < moved:
            return [f"{code} before the car was moved"]
        if root == "C10.2" and not hasattr(result, "acceptance") and not self._agrees(code, result):
            return [f"{code} read something else"]
        if root in AFTER_THE_WELD and not self._looked_at_since(row, root):
            return [f"{root} before the last weld"]
        return []

    def _set_aside(self, row: Row, code: str) -> bool:
        mine = Override.objects.filter(job=self.job, job_operation__operation=row.key)
        return mine.filter(reason_code=f"open:{code}").exists()

    def _agrees(self, code: str, result: Result) -> bool:
        first = self.in_force(f"{code.partition('.')[0]}.1")
        return first is not None and first.entry.payload["value"] == result.entry.payload["value"]

    def _looked_at_since(self, row: Row, root: str) -> bool:
        """Somewhere before the operation it was done after the last spark, or was set aside there."""
        of, _dot, number = root.partition(".")
        before = [o for o in self.rows.values() if o.root == of and o.position < row.position]
        codes = [f"{o.code}.{number}" for o in before]
        sparks = max(self._sparks([o for o in self.rows.values() if o.root == "W30"]), default=None)
        if root in MAY_BE_SET_ASIDE and any(self._set_aside(row, code) for code in codes):
            return True
        found = [result.recorded_at for code in codes if (result := self.in_force(code))]
        return sparks is None or any(at >= sparks for at in found)

    def _sparks(self, operations: list[Row]) -> list[dt.datetime]:
        times = [o.started_at for o in operations if o.started_at is not None]
        for o in operations:
            for code, results in self.results.items():
                quiet = self.proves(code, "permit") or self.proves(code, "fire_watch")
                if code.partition(".")[0] == o.code and not quiet:
                    times += [result.recorded_at for result in results]
        return times

    def _permit(self, row: Row) -> list[str]:
        mine = [c for c in self.checkpoints if c.partition(".")[0] == row.code and self.proves(c, "permit")]
        today = self.now.astimezone(ZONE).date()
        given = [self.in_force(code) for code in mine]
        good = [g for g in given if g and g.recorded_at.astimezone(ZONE).date() == today]
        return [] if mine and len(good) == len(mine) else [f"permit of {row.code}"]

    def _watch(self, row: Row) -> list[str]:
        """An hour after the last spark at or before it."""
        hot = self._sparks([o for o in self.rows.values() if o.is_hot and o.position <= row.position])
        return [] if hot and self.now - max(hot) >= dt.timedelta(minutes=60) else ["watch"]

    def may_be_left_out(self, code: str) -> bool:
        """What nothing stands on, what a lead added; and where nothing is cut, what a cut stands on."""
        row = self.rows[code]
        if row.root != code or code in MAY_BE_LEFT_OUT:
            return True
        later = [o for o in self.rows.values() if o.position > row.position and o.state != "not_applicable"]
        return code in BEFORE_A_CUT and not any(o.asks_like == "C20" for o in later)
