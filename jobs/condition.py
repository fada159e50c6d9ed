"""In which condition a car came in: the marks on its outline and what was read on the walk round."""

from collections import Counter
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from jobs.car_outline import COLUMNS, OUTLINES, ROWS, WHOLE, Outline, place_of
from jobs.models import ConditionMark, ConditionReport, ConditionView, Job
from shop.engineering.quantities import QuantityError, both, parse_quantity

ARCHES = {
    "left_front": gettext_lazy("Ride height, left front"),
    "right_front": gettext_lazy("Ride height, right front"),
    "left_rear": gettext_lazy("Ride height, left rear"),
    "right_rear": gettext_lazy("Ride height, right rear"),
}


@dataclass(frozen=True)
class PlacedMark:
    """A mark where it lies on the drawing of its view."""

    mark: ConditionMark
    outline: Outline

    @property
    def x(self) -> int:
        return self.mark.x_permille * self.outline.width // WHOLE

    @property
    def y(self) -> int:
        return self.mark.y_permille * self.outline.height // WHOLE

    @property
    def baseline(self) -> int:
        """On which its number is written, so that it stands in the middle of its ring."""
        return self.y + self.outline.letter_height // 3

    @property
    def place(self) -> str:
        return place_of(self.mark.x_permille, self.mark.y_permille)


@dataclass(frozen=True)
class Cell:
    """One place of the grid over a drawing."""

    place: str
    x: int
    y: int
    width: int
    height: int


@dataclass(frozen=True)
class ViewPicture:
    """One view of the car with the marks that stand on it. For screens and papers alike."""

    view: str
    label: str
    outline: Outline
    marks: tuple[PlacedMark, ...]

    @property
    def at_start(self) -> str:
        return _(self.outline.at_start)

    @property
    def at_end(self) -> str:
        return _(self.outline.at_end)

    @property
    def cells(self) -> tuple[Cell, ...]:
        width, height = self.outline.width // len(COLUMNS), self.outline.height // len(ROWS)
        return tuple(
            Cell(f"{letter}{figure}", column * width, row * height, width, height)
            for row, figure in enumerate(ROWS)
            for column, letter in enumerate(COLUMNS)
        )


@dataclass(frozen=True)
class RideHeight:
    """At one arch: as written, and in the other system."""

    label: str
    text: str
    also: str


@dataclass(frozen=True)
class Condition:
    """Everything that the walk round found, struck marks too; the newest report counts."""

    marks: tuple[ConditionMark, ...]
    reports: tuple[ConditionReport, ...]

    @property
    def standing(self) -> tuple[ConditionMark, ...]:
        return tuple(mark for mark in self.marks if mark.struck_at is None)

    @property
    def report(self) -> ConditionReport | None:
        return self.reports[-1] if self.reports else None

    @property
    def is_recorded(self) -> bool:
        return bool(self.marks or self.reports)

    @property
    def pictures(self) -> tuple[ViewPicture, ...]:
        return tuple(
            ViewPicture(
                view.value,
                str(view.label),
                outline,
                tuple(PlacedMark(mark, outline) for mark in self.standing if mark.view == view),
            )
            for view, outline in OUTLINES.items()
        )

    @property
    def placed(self) -> tuple[PlacedMark, ...]:
        """Every mark in the order of its number, struck ones too."""
        return tuple(PlacedMark(mark, OUTLINES[ConditionView(mark.view)]) for mark in self.marks)

    @property
    def heights(self) -> tuple[RideHeight, ...]:
        """The ride heights that were read."""
        if self.report is None:
            return ()
        texts = {name: getattr(self.report, name) for name in ARCHES}
        return tuple(RideHeight(str(ARCHES[name]), text, _also(text)) for name, text in texts.items() if text)

    @property
    def summary(self) -> str:
        """In one line: how many marks of which kinds, and what was read."""
        if not self.is_recorded:
            return _("No walk round the car is recorded yet.")
        kinds = Counter(str(mark.get_kind_display()) for mark in self.standing)
        found = ngettext("%(n)d mark", "%(n)d marks", len(self.standing)) % {"n": len(self.standing)}
        if kinds:
            found += " (" + ", ".join(f"{n} {kind}" for kind, n in kinds.most_common()) + ")"
        if self.report is None:
            return _("%(found)s; odometer and ride heights not read yet.") % {"found": found}
        heights = ngettext("%(n)d ride height", "%(n)d ride heights", len(self.heights)) % {
            "n": len(self.heights)
        }
        read = [heights]
        if self.report.odometer:
            read.append(_("odometer %(odometer)s") % {"odometer": self.report.odometer})
        if self.report.fuel:
            read.append(_("fuel %(fuel)s") % {"fuel": self.report.fuel})
        return f"{found}; {', '.join(read)}."


def condition_of(job: Job) -> Condition:
    """Read in two queries."""
    marks = ConditionMark.objects.filter(job=job).select_related("person", "photo").order_by("number")
    reports = ConditionReport.objects.filter(job=job).select_related("person").order_by("pk")
    return Condition(tuple(marks), tuple(reports))


def _also(text: str) -> str:
    try:
        quantity = parse_quantity(text)
    except QuantityError:
        return ""
    system = "inch" if quantity.unit in {"mm", "cm", "m"} else "metric"
    return both(quantity, system="inch")[0 if system == "inch" else 1]
