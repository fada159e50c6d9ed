"""The page of a car's condition: every view with its marks, the forms, what was read."""

from collections.abc import Mapping
from dataclasses import dataclass

from jobs.car_outline import middle_of
from jobs.condition import Condition, PlacedMark, ViewPicture, condition_of
from jobs.desk.condition_forms import MARKS, ConditionMarkForm, ConditionStrikeForm, report_form
from jobs.desk.forms import EntryForm
from jobs.models import ConditionView, Job
from jobs.record import JobRecord
from jobs.recording.condition import WALKING_ROLES
from shop.models import Person


@dataclass(frozen=True)
class MarkLine:
    """A mark in the list, with the form by which it is struck out."""

    placed: PlacedMark
    strike: EntryForm | None


@dataclass(frozen=True)
class ConditionPage:
    """The condition of one car as `viewer` sees it; `view` and `place` are touched without script."""

    record: JobRecord
    condition: Condition
    viewer: Person
    view: str
    place: str

    @classmethod
    def load(cls, job: Job, *, viewer: Person, asked: Mapping[str, str]) -> "ConditionPage":
        view, place = asked.get("view", ""), asked.get("place", "")
        touched = view in ConditionView.values and middle_of(place) is not None
        view, place = (view, place) if touched else ("", "")
        return cls(JobRecord.load(job), condition_of(job), viewer, view, place)

    @property
    def job(self) -> Job:
        return self.record.job

    @property
    def may_record(self) -> bool:
        return self.viewer.role in WALKING_ROLES and not self.job.is_released

    @property
    def pictures(self) -> tuple[ViewPicture, ...]:
        return self.condition.pictures

    @property
    def mark_form(self) -> EntryForm | None:
        if not self.may_record:
            return None
        initial = {"p_view": self.view or ConditionView.LEFT, "p_place": self.place}
        return ConditionMarkForm(self.record, MARKS, initial=initial)

    @property
    def lines(self) -> tuple[MarkLine, ...]:
        return tuple(MarkLine(placed, self._strike(placed)) for placed in self.condition.placed)

    def _strike(self, placed: PlacedMark) -> EntryForm | None:
        if not self.may_record or placed.mark.struck_at is not None:
            return None
        key = str(placed.mark.number)
        return ConditionStrikeForm(self.record, MARKS, key=key, initial={"p_mark": key})

    @property
    def report_form(self) -> EntryForm | None:
        return report_form(self.record, self.condition) if self.may_record else None
