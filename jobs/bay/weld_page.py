"""The weld map of an operation at the bay: what is made, what is left, which weld is next and why."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any

from django.utils.translation import gettext as _

from jobs.bay.tablet_page import OperationPage
from jobs.gates.welding import against_welding
from jobs.judging.questions import words
from jobs.judging.weld_map import MappedWeld, welds_made_in, welds_of
from jobs.judging.weld_picture import DrawnView, drawn_views
from jobs.models import Job, ResultVerdict, WeldMade, WeldStep
from jobs.reasons import Reason
from jobs.record import JobRecord
from jobs.recording.cautions import cautions_first
from shop.engineering.welds.order import OrderedWeld, WeldPlace, heat_of_order, weld_order
from shop.prepared import Prepared

OPEN, TACKED, MADE, ACCEPTED, TO_REPAIR = "open", "tacked", "made", "accepted", "to_repair"
MADE_ON = Prepared(
    lambda job: (
        WeldMade.objects.filter(job_operation__job=job)
        .select_related("person", "coupon__checkpoint")
        .order_by("pk")
    )
)


@dataclass(frozen=True)
class WeldStanding:
    """A weld of the map on one car."""

    weld: MappedWeld
    made: tuple[WeldMade, ...]
    state: str
    inspector: str
    is_next: bool
    is_chosen: bool

    @property
    def code(self) -> str:
        return self.weld.code

    @property
    def state_words(self) -> str:
        return {
            OPEN: _("to do"), TACKED: _("tacked"), MADE: _("made, not looked at"),
            ACCEPTED: _("accepted"), TO_REPAIR: _("to be repaired"),
        }[self.state]  # fmt: skip

    @property
    def last(self) -> WeldMade | None:
        return self.made[-1] if self.made else None


@dataclass(frozen=True)
class WeldPage:
    """What the page of an operation's welds shows. `doing`: what one touch records."""

    operation: str
    welds: tuple[WeldStanding, ...]
    reason: str
    settings: str
    lot: str
    heat: str

    @property
    def done(self) -> int:
        return sum(1 for w in self.welds if not self.is_open(w))

    @property
    def left(self) -> int:
        return len(self.welds) - self.done

    @property
    def done_codes(self) -> frozenset[str]:
        """The welds to which everything of this operation is done: they carry a bead in the drawing."""
        return frozenset(w.code for w in self.welds if not self.is_open(w))

    def is_open(self, standing: WeldStanding) -> bool:
        """Whether something is still to be done to it in this operation."""
        if standing.weld.made_in == self.operation:
            return standing.state in {OPEN, TACKED, TO_REPAIR}
        return standing.state == OPEN

    @cached_property
    def chosen(self) -> WeldStanding | None:
        """The weld that was touched, else the one that is next."""
        touched = next((w for w in self.welds if w.is_chosen), None)
        return touched or next((w for w in self.welds if w.is_next), None)

    @property
    def doing(self) -> str:
        """What is recorded of the chosen weld by one touch."""
        if self.chosen is None:
            return ""
        weld, state = self.chosen.weld, self.chosen.state
        if self.operation == weld.tacked_in and state == OPEN:
            return _("Tacked")
        return _("Repaired") if state in {TO_REPAIR, MADE, ACCEPTED} else _("Welded")

    @property
    def views(self) -> tuple[DrawnView[WeldStanding], ...]:
        return drawn_views(self.welds)


@dataclass(frozen=True)
class WeldHold:
    """Why nothing can be recorded of a weld now, in the words in which the door would refuse it."""

    message: str
    reasons: tuple[Reason, ...] = ()


def weld_hold(page: OperationPage) -> WeldHold | None:
    """What holds the welds of an operation; None where they may be made."""
    if page.is_held:
        return WeldHold(cautions_first(page.code))
    message, reasons = against_welding(page.record, page.operation, now=page.now)
    return WeldHold(message, tuple(reasons)) if message else None


def weld_page(record: JobRecord, operation: str, *, touched: str = "") -> WeldPage | None:
    """The weld map of an operation; None where nothing of the map is made there. One query."""
    welds = welds_made_in(record, operation)
    if not welds:
        return None
    rows = _made(record.job)
    state = {w.code: _state(record, w, rows.get(w.code, ())) for w in welds}
    is_tacking = all(w.tacked_in == operation and w.made_in != operation for w in welds)
    open_states = {OPEN} if is_tacking else {OPEN, TACKED}
    done = [
        w.code
        for w in sorted(welds, key=lambda w: _last_key(rows.get(w.code, ())))
        if state[w.code] not in open_states
    ]
    order = weld_order([w.place for w in welds], made=done)
    repair = next((w.code for w in welds if state[w.code] == TO_REPAIR), "")
    first = repair or (order[0].code if order else "")
    why = _("it is to be repaired") if repair else (_why(order[0], welds) if order else "")
    newest = max((row for made in rows.values() for row in made), key=lambda r: r.pk, default=None)
    standings = tuple(
        WeldStanding(
            w, rows.get(w.code, ()), state[w.code], _inspector(record, w, state[w.code]),
            w.code == first, w.code == touched,
        )
        for w in welds
    )  # fmt: skip
    settings, lot = (newest.settings, newest.lot) if newest else ("", "")
    return WeldPage(operation, standings, why, settings, lot, _heat(welds))


def _why(next_one: OrderedWeld, welds: tuple[MappedWeld, ...]) -> str:
    """Why a weld is next: the model's reason, the map's group before it where there are groups."""
    group, reason = next(w.group for w in welds if w.code == next_one.code), words(next_one.reason)
    return _("group %(group)d; %(reason)s") % {"group": group, "reason": reason} if group else reason


def every_weld(record: JobRecord) -> tuple[WeldStanding, ...]:
    """All welds of the map as they stand on a car. One query, none where there is no map."""
    welds = welds_of(record)
    rows = _made(record.job) if welds else {}
    states = {w.code: _state(record, w, rows.get(w.code, ())) for w in welds}
    return tuple(
        WeldStanding(
            w, rows.get(w.code, ()), states[w.code], _inspector(record, w, states[w.code]), False, False
        )
        for w in welds
    )


def _heat(welds: tuple[MappedWeld, ...]) -> str:
    """What the order spares, by the model, against that of the map."""
    ours, naive = _peaks(tuple(w.place for w in welds))
    return _(
        "In this order a place is at most about %(ours)d °C above the shop when its weld is begun; in "
        "the order of the map %(naive)d °C. A simple model: the hand on the metal decides."
    ) % {"ours": round(ours), "naive": round(naive)}  # fmt: skip


@lru_cache(maxsize=64)
def _peaks(places: tuple[WeldPlace, ...]) -> tuple[float, float]:
    """How far a map's welds warm each other in our order and in its own, K; it hangs on the map alone."""
    ours, naive = [o.code for o in weld_order(places)], [place.code for place in places]
    return heat_of_order(places, ours).peak_k, heat_of_order(places, naive).peak_k


def _made(job: Job) -> Mapping[str, tuple[WeldMade, ...]]:
    found: dict[str, tuple[WeldMade, ...]] = {}
    for row in MADE_ON.all(job=job):
        found[row.weld] = (*found.get(row.weld, ()), row)
    return found


def _state(record: JobRecord, weld: MappedWeld, made: tuple[WeldMade, ...]) -> str:
    """By what was made of it last, and what an inspector said of it after that."""
    if not any(row.step != WeldStep.TACK for row in made):
        return TACKED if made else OPEN
    judged = _judged(record, weld)
    if judged is None or judged.recorded_at < made[-1].made_at:
        return MADE
    said = judged.readings.get("welds", {}).get(weld.code)
    accepted = said == "yes" if said else judged.verdict == ResultVerdict.CONFORMS
    return ACCEPTED if accepted else TO_REPAIR


def _judged(record: JobRecord, weld: MappedWeld) -> Any:
    """The newest judgement of a weld, one that new sparks took out of force included."""
    standing = record.find_checkpoint(weld.inspected_at)
    return standing.last if standing else None


def _inspector(record: JobRecord, weld: MappedWeld, state: str) -> str:
    judged = _judged(record, weld)
    return str(judged.person) if judged is not None and state in {ACCEPTED, TO_REPAIR} else ""


def _last_key(made: tuple[WeldMade, ...]) -> int:
    return made[-1].pk if made else 0
