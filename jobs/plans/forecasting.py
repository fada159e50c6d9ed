"""What a plan's dates are worth, car by car, in days and words; numpy is imported where it runs."""

import datetime as dt
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from django.utils.translation import gettext as _

from jobs.plans.dates import FORECASTS_AGREE_WITHIN
from jobs.plans.mapping import Mapped

if TYPE_CHECKING:
    from jobs.planning.forecast.causes import Cause
    from jobs.planning.forecast.draws import Uncertainty
    from jobs.planning.forecast.hours import Clock, Times
    from jobs.planning.forecast.outlook import Outlook
    from jobs.planning.plan import Proposal

# All samples at once are taken so many times for each time that the shop is played event by event.
AT_ONCE = 10
# Why two dates differ is told by so many runs of a car.
RUNS = 10
# A cause in fewer of the late samples than that is not told.
WORTH_TELLING = 0.1


@dataclass(frozen=True)
class CarForecast:
    """The fields of a planned car that say what its date is worth."""

    likely_on: dt.date
    safe_on: dt.date
    at_once_likely_on: dt.date
    at_once_safe_on: dt.date
    promise_chance: float | None
    late_because: list[dict[str, Any]] = field(default_factory=list)


def forecasts_of(
    mapped: Mapped,
    proposal: "Proposal",
    *,
    about: "Uncertainty",
    samples: int,
    at_once: bool = False,
) -> dict[str, CarForecast]:
    """By the problem's name of each job that has something planned; `samples` of the shop are played.

    With `at_once` all samples are laid down together, in a fraction of a second.
    """
    from jobs.planning.forecast.draws import Draws
    from jobs.planning.forecast.hours import Clock
    from jobs.planning.forecast.outlook import outlooks
    from jobs.planning.forecast.simulating import simulated

    problem, plan = proposal.planned or mapped.problem, proposal.plan
    clock = Clock(problem)
    quick = outlooks(problem, plan, Draws(about, (2 if at_once else AT_ONCE) * samples), clock)
    if at_once:
        thorough = {name: outlook.finishes for name, outlook in quick.items()}
    else:
        thorough = simulated(problem, plan, Draws(about, samples), clock)
    return {
        name: _forecast(outlook, thorough[name], clock, mapped)
        for name, outlook in quick.items()
        if name in thorough
    }


def _forecast(outlook: "Outlook", finishes: "Times", clock: "Clock", mapped: Mapped) -> CarForecast:
    """One car: its dates by `finishes`, the causes and the view at once by the outlook."""
    import numpy as np

    p50, p80 = (int(n) for n in np.quantile(finishes, [0.5, 0.8], method="higher"))
    due = clock.minute(clock.problem.job[outlook.job].due)
    promised = any(
        w.job.promised_on is not None for w in mapped.whose.values() if str(w.job.number) == outlook.job
    )
    likely = clock.moment(p50).date()
    causes: list[dict[str, Any]] = [
        {"text": _words(cause, mapped), "share": round(cause.share, 2)}
        for cause in outlook.causes
        if cause.share >= WORTH_TELLING
    ]
    if abs((likely - outlook.p50.date()).days) > FORECASTS_AGREE_WITHIN:
        causes.append({"text": _apart(outlook), "share": 0.0, "apart": True})
    return CarForecast(
        likely,
        clock.moment(p80).date(),
        outlook.p50.date(),
        outlook.p80.date(),
        float(np.mean(finishes <= due)) if promised else None,
        causes,
    )


def _apart(outlook: "Outlook") -> str:
    """Why a car's two dates differ: in how many samples things go another way than the plan's."""
    told = [
        words % {"n": round(RUNS * share)}
        for share, words in (
            (outlook.moved, _("in %(n)d runs of 10 it has another bay than the plan's")),
            (outlook.waited, _("in %(n)d runs of 10 its bay is still held when it is to go in")),
            (outlook.short, _("in %(n)d runs of 10 somebody is not free when its work is ready")),
        )
        if round(RUNS * share) > 0
    ]
    if not told:
        return _("its dates lie so far apart from run to run that they are not told closer")
    last = _("who goes first then is seen only when the shop is played")
    return _("%(reasons)s; %(last)s") % {"reasons": ", ".join(told), "last": last}


def _words(cause: "Cause", mapped: Mapped) -> str:
    from jobs.planning.forecast.chain import Why

    if cause.why is Why.BAY:
        return _("bay %(bay)s is still held by job %(job)s") % {"bay": cause.what, "job": cause.other}
    code = mapped.whose[cause.what].standing.code
    words = {"job": cause.other, "code": code}
    if cause.why is Why.PEOPLE:
        return _("nobody is free for %(code)s of job %(job)s when it is ready") % words
    if cause.why is Why.PARTS:
        line = mapped.supplies[cause.other].waits_for.get(code)
        if line is not None:
            return _("%(part)s for %(code)s comes late") % {"part": line.description, "code": code}
        return _("the parts for %(code)s come late") % words
    return _("%(code)s of job %(job)s takes longer than its standard time") % words
