"""The traveler: the route card that goes with the car, with room to write where the tablet is not at hand.

It is read from the record once, and names the point of the record at which it was read. The customer is not
on it: it lies about in the shop.
"""

from collections import defaultdict
from dataclasses import dataclass
from itertools import groupby

from django.utils.translation import gettext as _

from jobs.desk.progress import rule_of
from jobs.desk.rule_picture import NARROW, RulePicture
from jobs.gates.kit_list import list_undecided
from jobs.gates.revision import revision_undecided
from jobs.judging.holes import Workshop
from jobs.models import Job, Stage
from jobs.papers.about_job import job_of, record_mark
from jobs.papers.operation_card import OperationCard, card_of, standard_time
from jobs.papers.weld_record import WeldRecord
from jobs.record import JobRecord
from parts.standing import LineStanding
from shop.documents.kinds import Paper
from shop.documents.models import Document

SIGNALS = ("DANGER", "WARNING", "CAUTION", "NOTICE")
# These can kill or maim; the others are named by their operations alone, or nobody would read any.
GRAVE = frozenset({"DANGER", "WARNING"})
# The route fills two pages, and most operations half a page or more.
FRONT_PAGES = 2
PAGES_FOR_AN_OPERATION = 0.6


@dataclass(frozen=True)
class Caution:
    """A caution with every operation that it stands at."""

    text: str
    codes: tuple[str, ...]


@dataclass(frozen=True)
class Signal:
    """All cautions under one signal word."""

    word: str
    cautions: tuple[Caution, ...]

    @property
    def is_grave(self) -> bool:
        return self.word in GRAVE

    @property
    def codes(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(code for caution in self.cautions for code in caution.codes))


@dataclass(frozen=True)
class RouteStage:
    """The operations of one stage, as the front page lists them."""

    label: str
    cards: tuple[OperationCard, ...]


@dataclass(frozen=True)
class Traveler:
    """Everything that the traveler says."""

    document: Document
    record: JobRecord
    rule: RulePicture
    cards: tuple[OperationCard, ...]

    @property
    def job(self) -> Job:
        return self.record.job

    @property
    def record_mark(self) -> str:
        return record_mark(self.document)

    @property
    def stages(self) -> tuple[RouteStage, ...]:
        """In the order of the route: after rework a stage may come again."""
        runs = groupby(self.cards, key=lambda card: card.operation.stage)
        return tuple(RouteStage(str(Stage(stage).label), tuple(cards)) for stage, cards in runs)

    @property
    def done(self) -> int:
        return sum(card.standing.is_done for card in self.cards)

    @property
    def takes(self) -> str:
        return standard_time(sum(card.operation.standard_minutes for card in self.cards))

    @property
    def cautions(self) -> tuple[Signal, ...]:
        """Each caution once, the gravest signal word first."""
        codes: dict[str, dict[str, list[str]]] = defaultdict(lambda: defaultdict(list))
        for card in self.cards:
            for caution in card.operation.cautions:
                codes[caution["signal"]][caution["text"]].append(card.code)
        return tuple(
            Signal(word, tuple(Caution(text, tuple(at)) for text, at in codes[word].items()))
            for word in SIGNALS
            if word in codes
        )

    @property
    def undecided(self) -> tuple[str, ...]:
        """That a newer revision or kit list came and nobody has decided about this car."""
        newer, newer_list = self.record.superseded, self.record.newer_list
        of_revision = (revision_undecided(newer).text,) if newer else ()
        of_list = (list_undecided(newer_list).text,) if newer_list else ()
        return of_revision + of_list

    @property
    def shortages(self) -> tuple[LineStanding, ...]:
        return self.record.kit.shortages if self.record.kit.is_counted else ()


def build_traveler(document: Document) -> Paper:
    """Read the record of a job for its traveler, in a number of queries that does not hang on its size."""
    job = job_of(document)
    record, workshop = JobRecord.load(job), Workshop.owned()
    welds = WeldRecord.of(record)
    traveler = Traveler(
        document=document,
        record=record,
        rule=rule_of(record, now=document.asked_at, size=NARROW),
        cards=tuple(card_of(record, standing, welds, workshop) for standing in record.operations),
    )
    return Paper(
        template="print/traveler.html",
        context={"traveler": traveler, "job": job},
        title=_("Traveler, job %(number)s") % {"number": job.number},
        pages=FRONT_PAGES + round(len(traveler.cards) * PAGES_FOR_AN_OPERATION),
    )
