"""The plan on paper: two weeks drawn, the cars with their dates, what was taken for granted."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from django.urls import reverse
from django.utils.translation import gettext as _

from jobs.desk.plan_page import PlanPage, stage_words
from jobs.papers.about_job import record_mark
from jobs.plans.asking import PLAN_STREAM
from shop.documents.kinds import Paper, PaperError, Subject
from shop.documents.models import Document

CARS_ON_A_PAGE = 14


@dataclass(frozen=True)
class PlanPaper:
    """Everything that the paper says."""

    document: Document
    weeks: tuple[PlanPage, ...]
    stages: Mapping[str, str]

    @property
    def page(self) -> PlanPage:
        return self.weeks[0]

    @property
    def record_mark(self) -> str:
        return record_mark(self.document)


def plan_subject(stream: str) -> Subject | None:
    return Subject(_("The plan"), reverse("jobs:plan")) if stream == PLAN_STREAM else None


def build_plan(document: Document) -> Paper:
    """The plan as of the moment at which the paper was asked for.

    Raises:
        PaperError: there is no plan.
    """
    now = document.asked_at
    this = PlanPage.load(now=now)
    if this.plan is None:
        raise PaperError(_("There is no plan yet"))
    following = PlanPage.load(now=now, first=this.window.first + dt.timedelta(days=7))
    paper = PlanPaper(document, (this, following), stage_words())
    return Paper(
        template="print/plan.html",
        context={"paper": paper, "page": this},
        title=_("Plan of %(day)s") % {"day": f"{this.today:%Y-%m-%d}"},
        pages=sum(len(week.sheets) for week in paper.weeks) + 1 + len(this.cars) // CARS_ON_A_PAGE,
    )
