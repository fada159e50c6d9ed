"""The layout of a procedure file: read whole, refused where it cannot be made on metal."""

import pytest

from jobs.judging.layouts import Layout
from jobs.judging.mark_case import MarkCase
from jobs.procedures.file import read_procedure
from jobs.procedures.file.export import written
from shop.file_errors import FileErrors
from shop.models import ShopSettings
from tests.jobs.marked_route import MARKED

H1_AT = 'at: "14 in, 3 in", laid_out_from: [A, F]'


def refused(old: str, new: str) -> str:
    assert old in MARKED, old
    with pytest.raises(FileErrors) as caught:
        read_procedure(MARKED.replace(old, new, 1).encode(), settings=ShopSettings())
    return "\n".join(str(error) for error in caught.value.errors)


def layout() -> Layout:
    return Layout.of(read_procedure(MARKED.encode(), settings=ShopSettings())[0].layout)


def test_a_layout_is_read_and_written_again_the_same() -> None:
    data, _remarks = read_procedure(MARKED.encode(), settings=ShopSettings())
    again, _remarks = read_procedure(written(data).encode(), settings=ShopSettings())
    assert again == data
    assert [mark.code for _view, mark in Layout.of(again.layout).marks()] == ["C1", "H1", "H2"]


def test_what_is_read_of_a_mark_is_chosen_from_its_datums() -> None:
    found = layout().find("C1")
    assert found
    case = MarkCase(*found, "right")
    assert [(each.label, case.nominal(each)) for each in case.asked] == [
        ("From A to the lower end", "29 1/2 in"),
        ("From A to the upper end", "29 1/2 in"),
        ("From B to the lower end", "69 1/2 in"),
        ("From Q to the upper end", "11 17/32 in"),
    ]
    assert (case.is_mirrored, case.plan.bears_one_slip) == (True, True)
    assert case.useless == ("F: the tape would run along the line",)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("at: \"18 in, 5 in\"", "at: \"31 in, 5 in\"", "datum Q is on metal that C1 cuts off (back of it)"),
        ("\"18 in, 5 in\"", "\"-12 in, 1 1/4 in\"", "P and Q are one and the same"),
        ("laid_out_from: [A, F], tolerance: ±1/16 in, size", "laid_out_from: [A], tolerance: ±1/16 in, size",
         "H1: needs a second datum to be laid out from"),
        ("laid_out_from: [A, F]", "laid_out_from: [A, B]", "H1: is not placed by its datums"),
        ("laid_out_from: [A, F]", "laid_out_from: [A, G]", "H1 laid_out_from: “G” is none of: A, B, F, P, Q"),
        ("laid_out_from: [A], tol", "laid_out_from: [F], tol", "C1: is not placed by its datums"),
        ("tolerance: ±1/16 in", "tolerance: 1/16", "C1 tolerance: “1/16”"),
        ("at: \"14 in, 3 in\"", "at: 14 in", "H1 at: “14 in” is no place; write both figures"),
        ("waste: back, ", "", "C1 waste: is missing"),
        ("waste: back", "waste: up", "C1: waste lies along the line"),
        ("mirrored: yes", "mirrored: no", "C10.1 mark: is drawn for the left, and RO is not"),
        ("mark: C1", "mark: C2", "there is no mark “C2” in the layout"),
        ("side: right, mark", "mark", "C10.1 mark: lies on the left; say which side is read"),
        ("kind: cut line", "kind: cut", "“cut” is none of: cut line, hole, centre line"),
        ("size: 17/32 in, ", "", "H1 size: is missing"),
        ("code: H2", "code: H1", "H1 code: stands twice"),
        (H1_AT, "distances: [9 in, 9 in], toward: up, laid_out_from: [P, Q]",
         "H1 distances: 9 and 9 do not reach each other"),
        (H1_AT, "distances: [9 in, 9 in], toward: up, laid_out_from: [A, Q]",
         "H1 distances: are two, from two datum points"),
    ],
)  # fmt: skip
def test_what_cannot_be_laid_out_is_refused_in_words(old: str, new: str, said: str) -> None:
    assert said in refused(old, new)


def test_points_in_a_row_cannot_tell_one_side_from_the_other() -> None:
    head, _datums, rest = MARKED.partition("        - {code: A,")
    _gone, _marks, rest = rest.partition("      marks:")
    points = "".join(f'        - {{code: {c}, name: p, at: "{n} in, 1 in"}}\n' for n, c in enumerate("AFQ"))
    with pytest.raises(FileErrors, match="all lie on one line"):
        read_procedure((head + points + "      marks:" + rest).encode(), settings=ShopSettings())


def test_a_hole_by_two_distances_stands_where_the_arcs_meet() -> None:
    arcs = "distances: [20 in, 20 in], toward: up, laid_out_from: [P, Q]"
    text = MARKED.replace('at: "14 in, 3 in", laid_out_from: [A, F]', arcs)
    found = Layout.of(read_procedure(text.encode(), settings=ShopSettings())[0].layout).find("H1")
    assert found
    x, y = (float(each.value) for each in found[1].ends[0])
    assert (x + 12) ** 2 + (y - 1.25) ** 2 == pytest.approx(400, abs=1e-3)
    assert y > 5


def test_a_cut_line_that_nobody_reads_is_remarked() -> None:
    text = MARKED.replace(
        "kind: mark, title: Cut line, side: right, mark: C1", "kind: dimension, title: x, limit: 1 ±1/8 in"
    )
    _data, remarks = read_procedure(text.encode(), settings=ShopSettings())
    assert any("C1 is cut, and no checkpoint of kind mark reads it" in str(remark) for remark in remarks)
