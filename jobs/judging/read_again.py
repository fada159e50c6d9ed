"""What was read again because it was too close to call: all of the readings are judged together.

Nobody may read until it fits: each reading counts, and what the instrument is off does not average out.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from django.utils.translation import gettext as _

from jobs.judging.questions import Judged, Question, read_back, words
from jobs.models import CheckpointKind, Result, ResultVerdict
from jobs.standing import CheckpointStanding
from shop.engineering.decision.repeated import Reading, decide_repeated, decide_repeated_pair
from shop.engineering.decision.rules import Rule
from shop.engineering.decision.uncertainty import InstrumentData
from shop.engineering.limits import Limits

READ_AGAIN = frozenset(
    {CheckpointKind.DIMENSION, CheckpointKind.PAIR, CheckpointKind.MARK, CheckpointKind.POSITION}
)
OF_MANY = frozenset({CheckpointKind.MARK, CheckpointKind.POSITION})
SIDES = ("left", "right")


def too_close_before(standing: CheckpointStanding) -> tuple[Result, ...]:
    """The readings that were too close to call and still stand, the oldest first.

    A reading that was opened again, or that was taken under another limit of this car, does not count.
    """
    deviation = standing.deviation.pk if standing.deviation else None
    found: list[Result] = []
    if standing.checkpoint.kind in READ_AGAIN:
        for result in reversed(standing.results):
            has_limits = standing.checkpoint.kind in OF_MANY or "limits" in _own(result)
            is_close = result.verdict == ResultVerdict.TOO_CLOSE and has_limits
            if not is_close or hasattr(result, "reopening") or result.deviation_id != deviation:
                break
            found.append(result)
    return tuple(reversed(found))


def _own(result: Result) -> dict[str, Any]:
    """The decision on a reading of its own; of a pair, that on its left side or on the difference."""
    decision: dict[str, Any] = result.decision
    return decision.get("left_decision") or decision.get("difference") or decision


def with_earlier(
    judged: Judged,
    question: Question,
    used: InstrumentData,
    limits: Limits | None,
    equal: Limits | None,
    rule: Rule,
) -> Judged:
    """A reading judged together with those before it; alone where there are none.

    What does not conform by itself does not conform: another reading never makes it good.
    """
    earlier = [result for result in question.earlier if _instrument(result) is not None]
    if not earlier or (limits is None and equal is None):
        return judged
    if "value" in judged.readings:
        if limits is None:
            return judged
        together: Any = decide_repeated(limits, _series("value", earlier, judged, used), rule)
        explanation = words(together.explanation)
    else:
        series = [_series(side, earlier, judged, used) for side in SIDES]
        together = decide_repeated_pair(limits, equal, series[0], series[1], rule)
        explanation = together.explanation
    verdict = judged.verdict if judged.verdict == ResultVerdict.DOES_NOT_CONFORM else together.verdict
    listed = [_listed(result) for result in earlier]
    decision = {
        **judged.decision,
        "explanation": judged.explanation if verdict == judged.verdict != together.verdict else explanation,
        "verdict": str(verdict),
        "together": {**together.as_json(), "earlier": listed},
    }
    return replace(judged, verdict=verdict, explanation=decision["explanation"], decision=decision)


def _series(name: str, earlier: Sequence[Result], judged: Judged, used: InstrumentData) -> list[Reading]:
    found = [Reading(read_back(r.readings[name]), _required(r)) for r in earlier]
    return [*found, Reading(read_back(judged.readings[name]), used)]


def _listed(result: Result) -> dict[str, Any]:
    """An earlier reading as it is kept with the decision: what, by whom, with what."""
    return {
        "result": result.pk,
        "readings": result.readings,
        "person": result.person_id,
        "instrument": _required(result).code,
    }


def _instrument(result: Result) -> InstrumentData | None:
    """What an earlier reading was taken with, as it was then."""
    decision = result.decision
    found = decision.get("instrument") or (decision.get("left_decision") or {}).get("instrument")
    return InstrumentData.from_json(found) if found else None


def _required(result: Result) -> InstrumentData:
    found = _instrument(result)
    assert found is not None
    return found


def how_often(decision: dict[str, Any]) -> str:
    """That a verdict rests on more readings than one, in words; empty where it does not."""
    earlier = (decision.get("together") or {}).get("earlier")
    return _("%(count)d readings together") % {"count": len(earlier) + 1} if earlier else ""
