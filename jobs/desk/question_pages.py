"""Questions to the plan as pages: the date for a new customer; whether a car with a short kit is begun."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from jobs.models import Job, PlanQuestion, ProcedureRevision, QuestionKind
from jobs.plans.dates import long_day
from jobs.plans.questions import COLUMNS
from shop.models import ShopSettings
from shop.revisions import RevisionState

USUAL_LEAD_DAYS, MOST_LEAD_DAYS = 28, 730
# Ways whose blocked days differ by less than that are the same for the shop.
SAME_DAYS = 0.5


class EarliestForm(forms.Form):
    """By which procedure, and when its kit can be here."""

    procedure = forms.ModelChoiceField(
        ProcedureRevision.objects.none(),
        label=gettext_lazy("Procedure"),
        empty_label=gettext_lazy("Choose"),
        error_messages={"required": gettext_lazy("Choose the procedure")},
    )
    lead_days = forms.IntegerField(
        label=gettext_lazy("Days until the kit is here"),
        min_value=0,
        max_value=MOST_LEAD_DAYS,
        initial=USUAL_LEAD_DAYS,
        widget=forms.TextInput(attrs={"inputmode": "numeric"}),
        error_messages={
            "required": gettext_lazy("Enter in how many days the kit can be here; 0 where it is here"),
            "invalid": gettext_lazy("Enter whole days, such as 28"),
            "min_value": gettext_lazy("A kit cannot come in the past; 0 where it is here"),
            "max_value": gettext_lazy("That is more than two years; enter fewer days"),
        },
    )

    def __init__(self, data: Mapping[str, Any] | None = None) -> None:
        super().__init__(data, auto_id="earliest-%s")
        field = self.fields["procedure"]
        assert isinstance(field, forms.ModelChoiceField)
        released = ProcedureRevision.objects.filter(state=RevisionState.RELEASED, for_job=None)
        field.queryset = released.select_related("procedure")


@dataclass(frozen=True)
class EarliestLine:
    """One answer: as the shop is, or with something tried."""

    what: str
    likely: dt.date
    safe: dt.date
    gained: int
    touched: tuple[str, ...]

    @property
    def words(self) -> str:
        return _("%(day)s, 4 chances in 5") % {"day": long_day(self.safe)}

    @property
    def gained_words(self) -> str:
        if self.gained > 0:
            return ngettext("%(n)d day earlier", "%(n)d days earlier", self.gained) % {"n": self.gained}
        return _("no earlier")


@dataclass(frozen=True)
class EarliestPage:
    """What was asked last by this person, with its answer."""

    question: PlanQuestion | None
    revision: ProcedureRevision | None

    @classmethod
    def load(cls, question: PlanQuestion | None) -> "EarliestPage":
        asked = question.asked if question else {"revision": 0}
        revisions = ProcedureRevision.objects.select_related("procedure")
        return cls(question, revisions.filter(pk=asked["revision"]).first() if question else None)

    @property
    def asked(self) -> dict[str, object]:
        """The same question once more, for the form; the kit's day counted from the day of asking."""
        if self.question is None or self.revision is None or self.kit_on is None:
            return {}
        asked_on = ShopSettings.current().day_at(self.question.asked_at)
        return {"procedure": self.revision.pk, "lead_days": (self.kit_on - asked_on).days}

    @property
    def kit_on(self) -> dt.date | None:
        return dt.date.fromisoformat(self.question.asked["kit_on"]) if self.question else None

    @cached_property
    def lines(self) -> tuple[EarliestLine, ...]:
        rows = (self.question.answer or ()) if self.question else ()
        return tuple(
            EarliestLine(
                row["what"],
                dt.date.fromisoformat(row["likely"]),
                dt.date.fromisoformat(row["safe"]),
                row["gained"],
                tuple(row["touched"]),
            )
            for row in rows
        )

    @property
    def usual(self) -> EarliestLine | None:
        return self.lines[0] if self.lines else None

    @property
    def trials(self) -> tuple[EarliestLine, ...]:
        return tuple(sorted(self.lines[1:], key=lambda line: -line.gained))


def half_days(days: float) -> str:
    """Days to the half, as people say them: 12 or 12.5."""
    return f"{round(2 * days) / 2:g}"


@dataclass(frozen=True, slots=True)
class Column:
    """One column of the picture: so many days blocked, in which share of the samples."""

    days: int
    share: float
    x: float
    y: float
    height: float


@dataclass(frozen=True)
class WayLine:
    """One way of going on with a car whose kit is short."""

    way: str
    expected: float
    most: float
    likely: dt.date
    safe: dt.date
    first: str
    kept: float
    days: tuple[int, ...]
    step: int

    @property
    def expected_days(self) -> str:
        return half_days(self.expected)

    @property
    def most_days(self) -> str:
        return half_days(self.most)

    @property
    def title(self) -> str:
        if self.way == "other first":
            return _("Job %(job)s first") % {"job": self.first}
        return {"start": _("Start now"), "wait": _("Wait for the part, the bay kept free")}[self.way]

    @property
    def ready_words(self) -> str:
        return _("ready by %(day)s, 4 chances in 5") % {"day": long_day(self.safe)}

    @property
    def columns(self) -> tuple[Column, ...]:
        total = sum(self.days) or 1
        return tuple(
            Column(
                day,
                count / total,
                40 + 26 * day,
                round(96 - 84 * count / total, 1),
                round(84 * count / total, 1),
            )
            for day, count in enumerate(self.days)
            if count
        )

    @property
    def axis(self) -> tuple[tuple[int, str], ...]:
        """Numbers below the columns with where each stands, in days."""
        return tuple((50 + 26 * column, str(column * self.step)) for column in range(0, COLUMNS + 1, 5))

    @property
    def expected_x(self) -> float:
        return round(40 + 26 * min(self.expected / self.step, COLUMNS) + 10, 1)


@dataclass(frozen=True)
class StartPage:
    """A car whose kit is short, and what was answered last about it."""

    job: Job
    question: PlanQuestion | None

    @classmethod
    def load(cls, job: Job) -> "StartPage":
        asked = PlanQuestion.objects.filter(kind=QuestionKind.START_OR_WAIT, asked__job=job.number)
        return cls(job, asked.order_by("-asked_at").first())

    @cached_property
    def ways(self) -> tuple[WayLine, ...]:
        rows = (self.question.answer or ()) if self.question else ()
        return tuple(
            WayLine(
                row["way"],
                row["expected"],
                row["most"],
                dt.date.fromisoformat(row["likely"]),
                dt.date.fromisoformat(row["safe"]),
                row["first"],
                row["kept"],
                tuple(row["days"]),
                row["step"],
            )
            for row in rows
        )

    @property
    def recommendation(self) -> str:
        """One sentence; the manager decides."""
        if not self.ways:
            return ""
        best = self.ways[0]
        words = {"what": best.title, "days": best.expected_days}
        others = [way for way in self.ways[1:] if way.expected - best.expected >= SAME_DAYS]
        if not others:
            return _("The ways block the bay about equally long: %(days)s days.") % words
        worse = others[-1]
        words |= {"other": worse.title, "more": worse.expected_days}
        return (
            _("%(what)s: about %(days)s days without work in the bay, against %(more)s for “%(other)s”.")
            % words
        )
