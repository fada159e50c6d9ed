"""What is drawn beside the fields of a draft, as far as it can be read: layout, weld map, cradle, hole."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from jobs.judging.cradle_picture import CradlePicture, draw_cradle
from jobs.judging.holes import HoleCard, Workshop, hole_card
from jobs.judging.layout_picture import LayoutPicture, draw_layout
from jobs.judging.layouts import View, parse_place
from jobs.judging.mark_case import MarkCase
from jobs.judging.weld_map import MappedWeld
from jobs.judging.weld_picture import DrawnView, drawn_views
from jobs.procedures.draft_figures import (
    Figures,
    readable_cradle,
    readable_hole,
    readable_view,
    readable_welds,
)
from jobs.procedures.draft_shapes import CRADLE, HOLES, MARKS, VIEWS, WELD_MAP, WELDS
from jobs.procedures.draft_tree import Place
from shop.bench.drawings import Drawing, draw_edge, draw_passing
from shop.engineering.layout.words import length_words
from shop.engineering.quantities import Quantity, QuantityError, parse_quantity


@dataclass(frozen=True)
class DraftWeld:
    """A weld of a map that is being written."""

    weld: MappedWeld
    is_chosen: bool

    @property
    def code(self) -> str:
        return self.weld.code


@dataclass(frozen=True)
class Beside:
    """Everything that is drawn.

    `asked`: how the mark in hand is read; `length`: of the seam in hand; `not_drawn`: what could not be read.
    """

    has_drawing: bool = False
    layout: LayoutPicture | None = None
    asked: tuple[tuple[str, str, bool], ...] = ()
    panels: tuple[DrawnView[DraftWeld], ...] = ()
    cradle: CradlePicture | None = None
    hole: HoleCard | None = None
    edge: Drawing | None = None
    passing: Drawing | None = None
    length: str = ""
    not_drawn: tuple[str, ...] = ()

    @property
    def holes(self) -> tuple[HoleCard, ...]:
        return (self.hole,) if self.hole else ()

    @property
    def is_empty(self) -> bool:
        return not (self.layout or self.panels or self.cradle or self.hole)


def beside(place: Place) -> Beside:
    """What is drawn beside the fields of a place; nothing for a part that has no drawing."""
    above = place.above
    if place.shape is VIEWS:
        return _layout(place.part, "")
    if place.shape is MARKS and above:
        return _layout(above.part, str(place.part.get("code") or ""))
    if place.shape is WELD_MAP:
        return draw_weld_map(place.part)
    if place.shape is WELDS and above:
        return draw_weld_map(above.part, place.number)
    if place.shape is CRADLE:
        return draw_cradle_of(place.part)
    return _hole(place.part) if place.shape is HOLES else Beside()


def _layout(kept: Mapping[str, Any], in_hand: str) -> Beside:
    view, not_drawn = readable_view(kept)
    if not view.datums and not view.marks and not view.outline:
        return Beside(has_drawing=True, not_drawn=not_drawn)
    case = _case(view, in_hand)
    try:
        checks = case.plan.checks if case else ()
        asked = tuple((each.label, case.nominal(each), each.is_check) for each in case.asked) if case else ()
        picture = draw_layout(view, in_hand=in_hand, checks=checks)
    except (QuantityError, ArithmeticError):
        return Beside(
            has_drawing=True, not_drawn=(*not_drawn, _("its figures cannot be drawn as they stand"))
        )
    return Beside(has_drawing=True, layout=picture, asked=asked, not_drawn=not_drawn)


def _case(view: View, code: str) -> MarkCase | None:
    """The readings of the mark in hand; None where its datums do not place it."""
    mark = next((mark for mark in view.marks if mark.code == code), None)
    if mark is None or not mark.laid_out_from:
        return None
    flat = mark.in_unit(view.unit, view.plane_datums(view.unit))
    return None if flat.fault() else MarkCase(view, mark, "")


def draw_cradle_of(kept: Mapping[str, Any]) -> Beside:
    """A cradle as far as it can be read."""
    places, not_drawn = readable_cradle(kept)
    return Beside(has_drawing=True, cradle=draw_cradle(*places), not_drawn=not_drawn)


def draw_weld_map(kept: Mapping[str, Any], number: int | None = None) -> Beside:
    """A weld map as far as it can be read: every panel, or that of the weld in hand."""
    welds, not_drawn = readable_welds(kept)
    drawn = tuple(DraftWeld(weld, at == number) for at, weld in welds)
    chosen = next((each.weld for each in drawn if each.is_chosen), None)
    panels = drawn_views(drawn)
    if chosen is not None:
        panels = tuple(p for p in panels if (p.name, p.side) == (chosen.view, chosen.side))
    length = _length(chosen, kept["welds"][number]) if chosen and number is not None else ""
    return Beside(has_drawing=True, panels=panels, length=length, not_drawn=not_drawn)


def _length(weld: MappedWeld, row: Mapping[str, Any]) -> str:
    """How long a seam is, in the unit of its places; nothing for a plug weld."""
    if weld.is_plug:
        return ""
    is_metric = parse_place(str(row["from"]))[0].unit in {"mm", "cm", "m"}
    mm = math.dist(weld.start, weld.end)
    return length_words(mm, "mm") if is_metric else length_words(mm / 25.4, "in")


def _hole(kept: Mapping[str, Any]) -> Beside:
    hole, not_drawn = readable_hole(kept)
    if not hole.get("size"):
        return Beside(has_drawing=True, not_drawn=not_drawn)
    try:
        card = hole_card({"name": "", **hole}, Workshop.owned())
        edge, passing = _edge(hole), _passing(hole)
    except (QuantityError, ArithmeticError):
        return Beside(
            has_drawing=True, not_drawn=(*not_drawn, _("its figures cannot be drawn as they stand"))
        )
    return Beside(has_drawing=True, hole=card, edge=edge, passing=passing, not_drawn=not_drawn)


def _edge(hole: Figures) -> Drawing | None:
    """The hole at an edge, at the distance that is asked; None where none is."""
    if not hole.get("edge"):
        return None
    return draw_edge(parse_quantity(hole["size"]), parse_quantity(hole["edge"]), None)


def _passing(hole: Figures) -> Drawing | None:
    """What goes through the hole, in both of its walls; None where nothing does."""
    if not hole.get("takes_size"):
        return None
    size, pin = parse_quantity(hole["size"]), parse_quantity(hole["takes_size"])
    walls = [parse_quantity(wall["size"]) for wall in hole.get("walls", ()) if wall.get("size")]
    other = None if hole.get("held") == "yes" else next(iter(walls), size)
    return draw_passing(pin, size, other, Quantity(size.value * 0, size.unit))
