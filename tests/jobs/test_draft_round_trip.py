"""Text to fields and back loses nothing, whatever stands in a file; nothing typed breaks the drawing."""

from collections.abc import Collection, Iterator
from typing import Any

import pytest
from django.http import QueryDict
from hypothesis import given
from hypothesis import strategies as st

from jobs.judging.cradle import READING_KEYS, SECTION_KEYS
from jobs.judging.layouts import KINDS
from jobs.judging.weld_map import WELD_KEYS
from jobs.procedures.draft_codes import codes_for
from jobs.procedures.draft_drawing import beside
from jobs.procedures.draft_faults import Placed
from jobs.procedures.draft_fields import PartForm
from jobs.procedures.draft_shapes import (
    CRADLE,
    HANDOVER,
    HOLES,
    MARKS,
    OPERATION,
    ROOT,
    VIEWS,
    WELD_MAP,
    WELDS,
    Shape,
    Tree,
)
from jobs.procedures.draft_tree import Place, place_of, root_of, text_of, tree_of
from jobs.procedures.file import ProcedureData
from jobs.procedures.file.export import written
from jobs.procedures.file.holes import HOLE_KEYS as FILE_HOLE_KEYS
from jobs.procedures.file.holes import WALL_KEYS
from jobs.procedures.file.layout import DATUM_KEYS, HOLE_KEYS, LINE_KEYS, VIEW_KEYS
from jobs.procedures.file.reading import FILE_KEYS, OPERATION_KEYS
from tests.jobs.draft_desk import shown
from tests.jobs.test_procedure_round_trip import QUICK, one_line, procedures

# Figures as people write them, slips among them; words that stand there though they mean nothing.
FIGURES = st.sampled_from(
    ["1 in", "-2 1/2 in", "1 in, 2 in", "-3 in, 0 in", "0 in, 0 in", "1 in, 2 in, 3 in", "9e999 in",
     "±1/16 in", "1/0 in, 1 in",
     "99999999999999 mm, 0 in", "12", "", "left", "forward", "yes"]
)  # fmt: skip
CODES = st.sampled_from(["A", "B", "C1", "H1", "P", "9", "", "no code", "A/B"])
TEXTS = st.one_of(FIGURES, CODES, one_line(20))
LISTED = st.lists(CODES, max_size=3)
KIND = st.sampled_from([*KINDS, "plug", "seam", "height", "strange"])
SMALL = {
    "code": CODES,
    "kind": KIND,
    "laid_out_from": LISTED,
    "of": LISTED,
    "from": st.one_of(LISTED, FIGURES),
}


@st.composite
def tables(draw: st.DrawFn, shape: Shape) -> Tree:
    """A table with some of its keys in any order, some unknown, and rows in its lists."""
    keys = draw(st.lists(st.sampled_from([*shape.keys, "strange"]), unique=True, max_size=9))
    made: Tree = {key: draw(SMALL.get(key, TEXTS)) for key in keys}
    for key, inner in shape.lists.items():
        made[key] = draw(st.lists(tables(inner), max_size=3))
    return made


def layouts() -> st.SearchStrategy[Tree]:
    views = st.lists(tables(VIEWS), max_size=2)
    return st.fixed_dictionaries(
        {}, optional={"views": views, "weld_map": tables(WELD_MAP), "cradle": tables(CRADLE)}
    )


def places_in(place: Place) -> Iterator[Place]:
    """Everything that has a page."""
    if place.path:
        yield place
    for key in place.shape.pages:
        for row in place.inside(key):
            yield from places_in(row)
    for key in place.shape.tables:
        yield from places_in(place.beneath(key))


def form_of(place: Place, tree: Tree, data: Any = None) -> PartForm:
    return PartForm(place.part, place.shape, faults=Placed(), codes=codes_for(place, tree), data=data)


def posted(values: dict[str, object]) -> QueryDict:
    sent = QueryDict(mutable=True)
    for name, value in values.items():
        sent.setlist(name, value if isinstance(value, list) else [str(value)])
    return sent


@QUICK
@given(procedures(), layouts(), st.lists(tables(HOLES), max_size=2), tables(HANDOVER))
def test_every_part_written_back_as_it_is_shown_is_the_same(
    data: ProcedureData, layout: Tree, holes: list[Tree], handover: Tree
) -> None:
    tree = tree_of(written(data)) | {"layout": layout, "handover": handover}
    tree["operations"][0]["holes"] = holes
    assert tree_of(text_of(tree)) == tree
    for place in places_in(root_of(tree)):
        form = form_of(place, tree)
        assert form_of(place, tree, posted(shown(form))).written() == place.part
        found = place_of(tree, place.path)
        assert found is not None
        assert found.part == place.part


@QUICK
@given(layouts(), st.lists(tables(HOLES), max_size=2), st.data())
def test_one_field_that_is_typed_changes_that_one_alone(
    layout: Tree, holes: list[Tree], data: st.DataObject
) -> None:
    tree: Tree = {"layout": layout, "operations": [{"code": "T1", "holes": holes}]}
    for place in places_in(root_of(tree)):
        names = [
            name for name, field in form_of(place, tree).fields.items() if isinstance(field.initial, str)
        ]
        names = [name for name in names if not name.endswith("kind")]
        if not names:
            continue
        name = data.draw(st.sampled_from(sorted(names)))
        after = form_of(place, tree, posted({**shown(form_of(place, tree)), name: "typed"})).written()
        assert _differing(place.part, after) <= 1


def _differing(old: Any, new: Any) -> int:
    """In how many fields two tables differ."""
    if isinstance(old, dict) and isinstance(new, dict):
        return sum(_differing(old.get(key), new.get(key)) for key in {*old, *new})
    if isinstance(old, list) and isinstance(new, list) and any(isinstance(item, dict) for item in old):
        return sum(_differing(one, other) for one, other in zip(old, new, strict=True))
    return int(old != new)


@QUICK
@given(tables(VIEWS), tables(WELD_MAP), tables(CRADLE))
def test_whatever_is_typed_is_drawn_or_left_out(view: Tree, weld_map: Tree, cradle: Tree) -> None:
    tree: Tree = {"layout": {"views": [view], "weld_map": weld_map, "cradle": cradle}}
    drawn = [
        place for place in places_in(root_of(tree)) if place.shape in (VIEWS, MARKS, WELD_MAP, WELDS, CRADLE)
    ]
    assert all(beside(place).has_drawing for place in drawn)


@pytest.mark.parametrize(
    ("shape", "keys"),
    [(VIEWS, VIEW_KEYS), (VIEWS.rows["datums"], DATUM_KEYS), (MARKS, {*LINE_KEYS, *HOLE_KEYS}),
     (WELDS, WELD_KEYS),
     (HOLES, FILE_HOLE_KEYS), (HOLES.rows["walls"], WALL_KEYS), (CRADLE, SECTION_KEYS),
     (CRADLE.rows["readings"], READING_KEYS), (OPERATION, OPERATION_KEYS), (ROOT, FILE_KEYS)],
)  # fmt: skip
def test_every_key_that_the_reader_knows_has_its_place(shape: Shape, keys: Collection[str]) -> None:
    assert {*shape.keys, *shape.lists, *shape.tables} | {"format"} == {*keys, "format"}
