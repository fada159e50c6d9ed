"""One part of a draft, field by field: datums, marks, welds, holes, the cradle, what is told at handover."""

import pytest
from django.test import Client
from django.urls import reverse

from shop.verification import verify_record
from tests.jobs.cradle_files import CRADLE_PROCEDURE, WELD_PROCEDURE
from tests.jobs.draft_desk import act, address, begun, last, put, shown, typed
from tests.jobs.marked_route import MARKED

VIEW, C1 = "layout/views/RO", "layout/views/RO/marks/C1"
WELD_MAP = "layout/weld_map"


def of(text: str) -> Client:
    return begun(text.encode(), code="FC-S1" if "code: FC-S1" in text else text.split("code: ")[1].split()[0])


@pytest.fixture
def marked(db: None) -> Client:
    """A draft of the short route with a layout."""
    return of(MARKED)


@pytest.fixture
def welded(db: None) -> Client:
    """A draft of the short route with a weld map."""
    return of(WELD_PROCEDURE)


def page(desk: Client, path: str) -> str:
    return desk.get(address(path)).content.decode()


def beside(desk: Client, path: str) -> dict[str, list[str]]:
    """The faults of a part by the names of their fields."""
    form = desk.get(address(path)).context["page"].form
    rows = [named for each in form.lists() for row in each.rows for named in row.fields]
    return {field.name: faults for field, faults in (*form.rows(), *rows) if faults}


def test_a_figure_of_a_datum_is_changed_and_drawn(marked: Client) -> None:
    before = page(marked, C1)
    assert "29 1/2 in" in before
    put(marked, VIEW, datums_0_from="1 in, 0 in", datums_0_to="1 in, 6 in")
    assert "from: 1 in, 0 in" in last().text
    assert last().what == "RO changed"
    assert "28 1/2 in" in page(marked, C1)


def test_a_mark_is_added_read_from_several_datums_and_drawn(marked: Client) -> None:
    added = put(marked, VIEW, button="add marks hole")
    assert added.redirect_chain[-1][0] == address("layout/views/RO/marks/H3")
    said = put(
        marked,
        "layout/views/RO/marks/H3",
        name="rear sleeve",
        at="4 in, 3 in",
        laid_out_from=["A", "F"],
        tolerance="±1/16 in",
        size="17/32 in",
        tool="twist drill",
    ).content.decode()
    assert beside(marked, "layout/views/RO/marks/H3") == {}
    assert ">H3</text>" in said
    assert "From A" in said
    assert "cross-check" in said
    assert "Nothing: it can be kept and released" in page(marked, "")
    assert verify_record().is_whole


def test_bad_figures_stand_beside_their_fields_with_what_was_typed(marked: Client) -> None:
    put(marked, C1, to="29 1/2 inches up", laid_out_from=[])
    found = beside(marked, C1)
    assert "is no place" in "".join(found["f_to"])
    assert 'value="29 1/2 inches up"' in page(marked, C1)
    assert "1 fault" not in page(marked, VIEW).split("C1")[0]
    put(marked, VIEW, datums_3_at="-12 in")
    assert "is no place" in "".join(beside(marked, VIEW)["f_datums-3-at"])
    act(marked, "undo")
    act(marked, "undo", back=C1)


def test_the_plain_button_shows_what_was_typed_and_keeps_nothing(marked: Client) -> None:
    shown_ = put(marked, C1, button="show", **{"from": "20 in, 0 in"}, to="20 in, 6 in").content.decode()
    assert 'value="20 in, 6 in"' in shown_
    assert "<b>20 in</b>" in shown_
    assert last().number == 1


def test_a_change_is_drawn_by_the_server_and_keeps_nothing(marked: Client) -> None:
    data = typed(marked, C1, to="wrong")
    headers = {"HX-Request": "true", "HX-Target": "draft-beside"}
    redrawn = marked.post(address(C1), data, headers=headers)
    said = redrawn.content.decode()
    assert "<html" not in said
    assert "Not drawn yet:" in said
    assert (
        'id="part-f_to-faults" role="status" hx-swap-oob="true"><p class="field-error">“wrong” is no place'
        in said
    )
    assert last().number == 1
    another = marked.post(address(C1), {**data, "f_kind": "hole"}, headers=headers)
    assert another["HX-Retarget"] == "#draft-part"
    assert "part-f_distances" in another.content.decode()


def test_rows_are_moved_removed_and_taken_back(marked: Client) -> None:
    order = lambda: [line.code for line in marked.get(address(VIEW)).context["page"].lists[0].lines]  # noqa: E731
    put(marked, VIEW, button="up marks 2", name="Rail")
    assert order() == ["H1", "C1", "H2"]
    assert last().what == "RO changed, H1 moved up"
    put(marked, VIEW, button="remove marks 3")
    assert order() == ["H1", "C1"]
    act(marked, "undo", back=VIEW)
    assert order() == ["H1", "C1", "H2"]
    put(marked, VIEW, button="add datums")
    assert "- code: R\n" in last().text
    put(marked, VIEW, button="remove datums 99")
    assert last().what == "R added"


def test_what_names_a_datum_or_a_mark_follows_its_code(marked: Client) -> None:
    put(marked, VIEW, datums_0_code="D")
    assert beside(marked, C1) == {}
    put(marked, C1, code="C9")
    assert "mark: C9" in last().text
    assert "Nothing: it can be kept and released" in page(marked, "")


def test_a_view_is_added_and_filled_in(marked: Client) -> None:
    added = act(marked, "add views")
    path = added.context["page"].path
    assert path == "layout/views/RO2"
    put(marked, path, name="Right rail, top")
    put(marked, path, button="add datums")
    put(marked, path, datums_0_name="front datum", datums_0_at="0 in, 0 in")
    assert "layout-drawing" in page(marked, path)


def test_a_weld_is_added_with_its_size_process_and_group(welded: Client) -> None:
    added = put(welded, WELD_MAP, button="add welds seam")
    path = added.context["page"].path
    assert path == f"{WELD_MAP}/welds/S2"
    assert "is missing" in "".join(beside(welded, path)["f_from"])
    said = put(
        welded, path, **{"from": "0 in, 3 in"}, to="2 1/2 in, 3 in", size="3/16 in", process="GMAW", group="2"
    ).content.decode()
    assert beside(welded, path) == {}
    assert ">S2</text>" in said
    assert welded.get(address(path)).context["page"].beside.length == "2 1/2 in"
    assert "weld-chosen" in said
    assert "Nothing: it can be kept and released" in page(welded, "")


def test_one_weld_after_the_other_is_added_from_its_own_page(welded: Client) -> None:
    path = f"{WELD_MAP}/welds/R1"
    more = put(welded, path, button="another", size="1/2 in").context["page"]
    assert more.path == f"{WELD_MAP}/welds/R2"
    assert last().what == "R1 changed, R2 added"
    assert (more.place.part["kind"], more.place.part["made_in"]) == ("plug", "W30")


def test_the_length_of_a_seam_is_told_in_its_own_unit(welded: Client) -> None:
    path = f"{WELD_MAP}/welds/S1"
    put(welded, path, **{"from": "0 mm, 50 mm"}, to="80 mm, 50 mm")
    assert "80 mm long" in page(welded, path)
    assert "long</p>" not in page(welded, f"{WELD_MAP}/welds/L1")


@pytest.mark.parametrize(
    ("key", "typed_", "says"),
    [
        ("from", "3 in", "is no place"),
        ("group", "first", "is no whole number from 1 to 99"),
        ("thickness", "1/8 lbf", "is no"),
        ("made_in", "", "is missing"),
        ("code", "S-1", "is no such code"),
    ],
)
def test_a_fault_of_a_weld_stands_beside_its_field(welded: Client, key: str, typed_: str, says: str) -> None:
    path = f"{WELD_MAP}/welds/S1"
    put(welded, path, **{key: typed_})
    now_at = path if key != "code" else f"{WELD_MAP}/welds/4"
    assert says in "".join(beside(welded, now_at)[f"f_{key}"])


def test_a_first_weld_begins_the_map(marked: Client) -> None:
    assert "None yet" in page(marked, WELD_MAP)
    put(marked, WELD_MAP)
    assert last().number == 1
    added = put(marked, WELD_MAP, button="add welds plug", thickness="1/8 in")
    assert added.context["page"].path == f"{WELD_MAP}/welds/P1"
    assert "thickness: 1/8 in" in last().text


def test_a_hole_is_added_with_its_walls_its_steps_and_its_edge(marked: Client) -> None:
    added = put(marked, "C10", button="add holes")
    path = added.context["page"].path
    assert path == "C10/holes/1"
    put(marked, path, name="front sleeve", size="1 1/4 in", edge="1 in", button="add walls")
    said = put(marked, path, walls_0_name="outer wall", walls_0_thickness="1/8 in").content.decode()
    assert beside(marked, path) == {}
    assert "bench-drawing" in said
    assert "at least 1 in" in said
    assert "How it is made here" in said
    put(marked, path, size="round", measured="")
    assert "f_size" in beside(marked, path)


def test_points_of_a_cradle_and_what_is_told_at_handover_are_filled_in(db: None) -> None:
    desk = of(CRADLE_PROCEDURE)
    put(desk, "layout/cradle", points_0_at="12 in, 15 in", readings_0_of=["RF"])
    assert "three figures" in "".join(beside(desk, "layout/cradle")["f_points-0-at"])
    said = put(desk, "layout/cradle", points_0_at="12 1/2 in, 15 in, 2 in").content.decode()
    assert "The cradle from above" in said
    put(desk, "handover", button="add come_back")
    put(desk, "handover", come_back_0_after="100 miles", come_back_0_what="Wheel nuts tightened again")
    assert "what: Wheel nuts tightened again" in last().text
    assert "Nothing: it can be kept and released" in page(desk, "")


def test_what_another_changed_meanwhile_is_not_taken_back(marked: Client) -> None:
    mine = typed(marked, VIEW, name="Mine", datums_0_name="typed by me")
    put(marked, VIEW, datums_1_at="", datums_1_name="theirs")
    told = marked.post(address(VIEW), mine)
    assert told.status_code == 409
    again = {**shown(told.context["page"].form), "seen": told.context["page"].seen}
    bound = {name: told.context["page"].form[name].value() for name in told.context["page"].form.fields}
    assert marked.post(address(VIEW), {**again, **{k: v for k, v in bound.items() if v}}).status_code == 302
    assert "name: theirs" in last().text
    assert "name: typed by me" in last().text


def test_a_part_whose_rows_went_meanwhile_is_shown_and_not_kept(marked: Client) -> None:
    mine = typed(marked, VIEW, datums_4_at="17 in, 5 in")
    put(marked, VIEW, button="remove datums 1")
    for _again in range(2):
        told = marked.post(address(VIEW), mine)
        assert told.status_code == 409
        assert 'value="17 in, 5 in"' in told.content.decode()
    assert "17 in, 5 in" not in last().text


@pytest.mark.parametrize("path", ["layout/views/XX", "C99/holes/1", "layout/nothing", "C10/steps/1", "x/y/z"])
def test_what_is_not_there_is_not_found(marked: Client, path: str) -> None:
    where = reverse("jobs:procedure_draft_part", args=[*_draft(), path])
    assert marked.get(where).status_code == 404
    assert marked.post(where, {"seen": "1"}).status_code == 404


def _draft() -> tuple[str, str]:
    draft = last().draft
    return draft.procedure.code, draft.revision
