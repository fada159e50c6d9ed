"""Tracing what turned out bad: every result, joint and car that an instrument, a lot or a revision touched.

Instruments are traced from their last good check; a torque tool's deviation is applied to what was
tightened with it, and each of those joints is judged again.
"""

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import F, Q
from django.utils.translation import gettext as _

from jobs.fetching import mark_of
from jobs.models import Job, JobOperation, LotUse, Result, ResultVerdict, RevisionDecision, WeldMade
from jobs.unwitnessed import unwitnessed
from shop.engineering.decision import Decision, DecisionError, decide
from shop.engineering.joints.wrenches import ToolCheck
from shop.engineering.quantities.measures import Quantity
from shop.engineering.quantities.writer import rounded
from shop.models import Entry, Instrument, Outcome, Person, ShopSettings, Skill

MOST = 2000
# What somebody with a certificate signs at an operation that takes one.
WELDERS_SIGN = ("start", "resume", "reading", "finish")


@dataclass(frozen=True)
class Anew:
    """A torque as it truly was, by the tool's deviation, and what it would be judged now."""

    true: str
    verdict: str
    explanation: str


@dataclass(frozen=True)
class Touched:
    """One thing that was done with it."""

    job: Job
    operation: str
    title: str
    at: dt.datetime
    by: str
    checkpoint: str = ""
    result: Result | None = None
    anew: Anew | None = None
    # Nobody is shown a first reading that a second person has still to read.
    is_hidden: bool = False

    @property
    def is_in_force(self) -> bool:
        """Whether the result still counts: neither superseded nor opened again."""
        result = self.result
        return result is None or not (hasattr(result, "superseded_by") or hasattr(result, "reopening"))


@dataclass(frozen=True)
class Trace:
    """Everything that was touched, car by car."""

    what: str
    since: dt.date | None
    touched: tuple[Touched, ...]
    check: ToolCheck | None = None

    @property
    def cars(self) -> dict[Job, list[Touched]]:
        found: dict[Job, list[Touched]] = {}
        for each in self.touched:
            found.setdefault(each.job, []).append(each)
        return found

    @property
    def handed_over(self) -> int:
        """How many of the cars are with their owners: they must be told."""
        return sum(job.is_released for job in self.cars)

    @property
    def is_cut_off(self) -> bool:
        return len(self.touched) >= MOST


def last_good_check(instrument: Instrument, *, before: dt.date) -> dt.date | None:
    """The day of the newest check before a day that the instrument passed.

    A check that it failed by then counts, also where it was set right and passed afterwards: what was read
    before that is in doubt from the last good check before it was found bad.
    """
    checks = sorted(instrument.calibrations.all(), key=lambda c: (c.done_on, c.pk))
    known = [c for c in checks if c.done_on <= before]
    bad = max((n for n, c in enumerate(known) if not c.passed), default=len(known))
    return max((c.done_on for c in known[:bad] if c.passed), default=None)


def trace_instrument(
    instrument: Instrument, *, found_bad_on: dt.date, check: ToolCheck | None = None
) -> Trace:
    """Every result read with an instrument since its last good check, or that rests on one that was.

    Args:
        found_bad_on: the day on which it was found bad.
        check: of a torque tool, to judge again what was tightened with it.
    """
    since = last_good_check(instrument, before=found_bad_on)
    read = _results().filter(Q(instrument=instrument) | Q(angle_instrument=instrument))
    if since is not None:
        zone = ZoneInfo(ShopSettings.current().zone)
        read = read.filter(recorded_at__gte=dt.datetime.combine(since, dt.time(0), zone))
    found = list(read[:MOST])
    every = (*found, *_resting_on(found))
    hidden = unwitnessed(every)
    touched = tuple(_of_result(result, check, is_hidden=result.pk in hidden) for result in every)
    return Trace(str(instrument), since, touched, check)


def _resting_on(read: Sequence[Result]) -> list[Result]:
    """Later results, read with something else, that were judged together with these."""
    known, found = {result.pk for result in read}, list[Result]()
    asked = [result.pk for result in read if result.verdict == ResultVerdict.TOO_CLOSE]
    while asked:
        later = [row for row in _results().filter(supersedes__in=asked) if row.pk not in known]
        found += [row for row in later if known.intersection(_judged_with(row))]
        known |= {row.pk for row in later}
        asked = [row.pk for row in later if row.verdict == ResultVerdict.TOO_CLOSE]
    return found


def _judged_with(result: Result) -> Iterator[int]:
    """The keys of the earlier readings that a verdict rests on."""
    for earlier in (result.decision.get("together") or {}).get("earlier", ()):
        yield earlier["result"]


def trace_lot(lot: str) -> Trace:
    """Every operation in which something of a lot was used."""
    used = LotUse.objects.filter(lot__iexact=lot.strip()).select_related(
        "person", "job_operation__operation", "job_operation__job__vehicle"
    )
    touched = tuple(
        _of_operation(row.job_operation, row.used_at, str(row.person), what=row.what) for row in used[:MOST]
    )
    return Trace(_("Lot %(lot)s") % {"lot": lot.strip()}, None, touched)


def trace_revision(code: str, revision: str) -> Trace:
    """Every operation begun by a revision of a procedure, and every decision for a car about it."""
    is_this = {"procedure__code": code, "revision": revision}
    own = Q(**{f"operation__revision__{name}": value for name, value in is_this.items()})
    again = Q(**{f"again_of__decision__to_revision__{name}": value for name, value in is_this.items()})
    begun = (
        JobOperation.objects.filter(own | again, started_at__isnull=False)
        .select_related("operation", "job__vehicle")
        .order_by("job", "position")
    )
    touched = [_of_operation(row, row.started_at, "") for row in begun[:MOST] if row.started_at]
    touched += [_of_decision(row) for row in _decisions_about(is_this)]
    what = _("Procedure %(code)s %(revision)s") % {"code": code, "revision": revision}
    return Trace(what, None, tuple(touched[:MOST]))


def _decisions_about(is_this: Mapping[str, str]) -> Any:
    """What was decided for cars that came from this revision, or were to go to it."""
    sides = [
        Q(**{f"{side}__{k}": v for k, v in is_this.items()}) for side in ("from_revision", "to_revision")
    ]
    rows = RevisionDecision.objects.filter(sides[0] | sides[1]).select_related(
        "job__vehicle", "from_revision", "to_revision", "person"
    )
    return rows.order_by("job", "pk")[:MOST]


def _of_decision(row: RevisionDecision) -> Touched:
    words = {"old": row.from_revision.revision, "new": row.to_revision.revision, "why": row.reason}
    title = _("Revision %(old)s → %(new)s") % words
    said = f"{title}: {row.get_answer_display()}. {row.reason}"
    return Touched(job=row.job, operation="", title=said, at=row.decided_at, by=str(row.person))


def trace_welder(person: Person) -> Trace:
    """Welding that somebody signed on a day on which no welding certificate of theirs was valid."""
    day_at, found = ShopSettings.current().day_at, list[Touched]()
    for row, at, what in sorted(_welding_of(person), key=lambda each: each[1]):
        if not person.is_certified(Skill.STRUCTURAL_WELDING, on=day_at(at)):
            found.append(_of_operation(row, at, str(person), what=what))
    each_once = {(t.job.pk, t.operation, t.title): t for t in reversed(found)}
    touched = tuple(sorted(each_once.values(), key=lambda t: (t.job.number, t.at)))
    what = _("Welding by %(name)s without a certificate") % {"name": person}
    return Trace(what, None, touched[:MOST])


def _welding_of(person: Person) -> Iterator[tuple[JobOperation, dt.datetime, str]]:
    """What somebody signed at operations that take the certificate, and each weld that they made."""
    with_car = JobOperation.objects.select_related("operation", "job__vehicle")
    takes_it = with_car.filter(operation__skill=Skill.STRUCTURAL_WELDING)
    welding = {(row.job.stream, row.operation.code): row for row in takes_it}
    entries = Entry.objects.filter(signer=person, outcome=Outcome.ACCEPTED, kind__in=WELDERS_SIGN)
    for entry in entries:
        row = welding.get((entry.stream, entry.subject.partition("/")[0]))
        if row is not None:
            yield row, mark_of(entry).at, ""
    for made in WeldMade.objects.filter(person=person).select_related(
        "job_operation__operation", "job_operation__job__vehicle"
    ):
        yield made.job_operation, made.made_at, _("weld %(code)s") % {"code": made.weld}


def _results() -> Any:
    return Result.objects.select_related(
        "person", "checkpoint", "job_operation__operation", "job_operation__job__vehicle",
        "superseded_by", "reopening",
    ).order_by(
        F("job_operation__job__released_at").desc(nulls_first=True), "job_operation__job__number", "pk"
    )  # fmt: skip


def _of_result(result: Result, check: ToolCheck | None, *, is_hidden: bool) -> Touched:
    return Touched(
        job=result.job_operation.job,
        operation=result.job_operation.operation.code,
        title=result.checkpoint.title,
        at=result.recorded_at,
        by=str(result.person),
        checkpoint=result.checkpoint.code,
        result=result,
        anew=judged_anew(result.decision, check) if check and not is_hidden else None,
        is_hidden=is_hidden,
    )


def _of_operation(row: JobOperation, at: dt.datetime, by: str, *, what: str = "") -> Touched:
    title = f"{row.operation.title}: {what}" if what else row.operation.title
    return Touched(job=row.job, operation=row.operation.code, title=title, at=at, by=by)


def judged_anew(decision: Mapping[str, Any], check: ToolCheck) -> Anew | None:
    """A stored torque decision with the tool's deviation taken out of its reading.

    Args:
        decision: as it was kept with the result.
    Returns: None where it holds no torque that was judged.
    """
    kept = decision.get("torque", decision)
    if kept.get("kind") != "reading":
        return None
    before = Decision.from_json(kept)
    true = Quantity(
        before.reading.value / (1 + Fraction(check.deviation).limit_denominator(10**6)), before.reading.unit
    )
    try:
        after = decide(before.limits, before.instrument, true, before.rule)
    except DecisionError:
        return Anew(rounded(true), "does_not_conform", _("outside of the tool's range"))
    return Anew(rounded(true), after.verdict.value, str(after.explanation))
