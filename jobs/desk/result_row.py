"""One result of a checkpoint as the desk shows it."""

from dataclasses import dataclass
from functools import cached_property
from typing import Any

from jobs.desk.numbers_behind import Numbers, explanation_of, numbers_behind
from jobs.judging.limits import AS_WRITTEN
from jobs.models import Result
from jobs.record import CheckState
from jobs.standing import shown_verdict
from shop.engineering.limits.shown import ReadAs


@dataclass(frozen=True)
class ResultRow:
    """One result with the numbers that its verdict stands on."""

    result: Result
    is_in_force: bool
    reader: ReadAs = AS_WRITTEN

    @property
    def reopening(self) -> Any:
        return getattr(self.result, "reopening", None)

    @property
    def acceptance(self) -> Any:
        return getattr(self.result, "acceptance", None)

    @property
    def verdict(self) -> str:
        return shown_verdict(CheckState.ACCEPTED if self.acceptance else self.result.verdict, self.result)

    @property
    def explanation(self) -> str:
        return explanation_of(self.result.decision)

    @property
    def criteria(self) -> list[dict[str, Any]]:
        return list(self.result.readings.get("criteria", []))

    @cached_property
    def numbers(self) -> tuple[Numbers, ...]:
        return numbers_behind(self.result.decision, self.reader)
