"""Writing a procedure in the browser: faults beside fields, two people told, undone, kept and released."""

import pytest
from django.test import Client
from django.urls import reverse

from jobs.models import ProcedureDraft, ProcedureRevision
from jobs.procedures.draft_tree import CHECKPOINTS, OPERATIONS, items_of, tree_of
from shop.models import Event, Role
from shop.verification import verify_record
from tests.jobs.draft_desk import DRAFT, act, address, begun, last, put, typed
from tests.jobs.procedure_desk import LOOKERS, desk_of
from tests.jobs.procedure_texts import changed


@pytest.fixture
def desk(db: None) -> Client:
    """A lead's browser, with a draft B begun from the released A."""
    return begun()


def test_keeping_what_was_shown_changes_nothing(desk: Client) -> None:
    for part in ("head", "T10", "T10.1", "T10.2", "T10.4"):
        put(desk, part)
    assert last().number == 1


def test_a_limit_is_changed_as_people_write_it(desk: Client) -> None:
    put(desk, "T10.1", limit="29 1/2 ±1/8 in")
    assert "29 1/2 ±1/8 in" in last().text
    compared = desk.get(reverse("jobs:procedure_compare", args=["FC-T1"]) + "?new=draft+B")
    assert "looser" in compared.content.decode()
    assert verify_record().is_whole


def test_a_fault_stands_beside_its_field_with_what_was_typed(desk: Client) -> None:
    said = put(desk, "T10.1", limit="29 1/2 in plus a bit").content.decode()
    assert "29 1/2 in plus a bit" in said
    page = desk.get(address("T10.1")).context["page"]
    beside = {field.name: faults for field, faults in page.form.rows() if faults}
    assert list(beside) == ["f_limit"]
    assert "1 fault" in desk.get(address()).content.decode()


def test_operations_and_checkpoints_are_added_moved_and_removed(desk: Client) -> None:
    before = [o["code"] for o in items_of(tree_of(last().text), OPERATIONS)]
    assert "T11" in act(desk, "add operations T10").content.decode()
    put(desk, "T11", button="add checkpoints", kind="photo")
    act(desk, "down operations 2")
    tree = tree_of(last().text)
    assert [o["code"] for o in items_of(tree, OPERATIONS)] == [before[0], before[1], "T11", *before[2:]]
    assert items_of(items_of(tree, OPERATIONS)[2], CHECKPOINTS) == [{"code": "T11.1", "kind": "photo"}]
    act(desk, "remove operations 3")
    assert [o["code"] for o in items_of(tree_of(last().text), OPERATIONS)] == before


def test_the_last_change_is_taken_back_and_each_change_is_an_event(desk: Client) -> None:
    first = last().text
    put(desk, "T10", minutes="50")
    act(desk, "undo")
    assert last().text == first
    assert last().number == 3
    assert Event.objects.filter(kind="procedure.draft_changed").count() == 3


def test_two_people_on_one_draft_are_told_and_nothing_is_lost(desk: Client) -> None:
    mine = typed(desk, "T10.1", limit="29 1/2 ±1/8 in")
    other = desk_of(Role.MANAGER)
    put(other, "T10", minutes="50")
    told = desk.post(address("T10.1"), mine)
    assert told.status_code == 409
    said = told.content.decode()
    assert "changed this draft since you opened the page" in said
    assert "29 1/2 ±1/8 in" in said
    again = {**mine, "seen": told.context["page"].seen}
    assert desk.post(address("T10.1"), again).status_code == 302
    assert "minutes: 50" in last().text
    assert "29 1/2 ±1/8 in" in last().text


def test_the_text_is_kept_with_its_faults_by_line(desk: Client) -> None:
    where = reverse("jobs:procedure_draft_text", args=DRAFT)
    broken = desk.post(where, {"text": last().text + "\n  - [", "seen": 1})
    assert broken.status_code == 422
    assert "cannot be read as YAML" in broken.content.decode()
    assert last().number == 1
    wrong = last().text.replace("kind: photo", "kind: picture", 1)
    said = desk.post(where, {"text": wrong, "seen": 1}, follow=True).content.decode()
    assert "none of" in said
    assert last().text == wrong


def test_another_procedure_cannot_be_written_into_a_draft(desk: Client) -> None:
    where = reverse("jobs:procedure_draft_text", args=DRAFT)
    text = last().text.replace("revision: B", "revision: A", 1)
    assert "must stay" in desk.post(where, {"text": text, "seen": 1}).content.decode()


def test_it_is_kept_once_it_is_right_and_goes_on_to_its_release(desk: Client) -> None:
    put(desk, "T10.1", limit="nothing of the kind")
    assert "cannot be released yet" in act(desk, "keep").content.decode()
    act(desk, "undo")
    put(desk, "T10.1", limit="29 1/2 ±1/8 in")
    said = act(desk, "keep").content.decode()
    assert "Release FC-T1 B?" in said
    assert ProcedureRevision.objects.get(revision="B").state == "draft"
    assert ProcedureDraft.objects.get().closed_at is not None
    assert verify_record().is_whole


@pytest.mark.parametrize("name", ["A", "", "no blanks", "B"])
def test_a_name_that_cannot_be_is_told_beside_the_field(desk: Client, name: str) -> None:
    answer = desk.post(reverse("jobs:procedure_draft_begin", args=["FC-T1", "A"]), {"revision": name})
    assert answer.status_code == 422
    assert "field-error" in answer.content.decode()


@pytest.mark.parametrize("role", LOOKERS)
def test_nobody_else_writes(desk: Client, role: str) -> None:
    assert desk_of(role).get(address()).status_code == 403


def test_a_file_of_what_is_being_written_is_put_into_the_draft_and_taken_back(desk: Client) -> None:
    bring = reverse("jobs:procedure_bring_in")
    text = changed("revision: A", "revision: B").replace(b"minutes: 45", b"minutes: 50").decode()
    for ask in ("", "draft"):
        said = desk.post(bring, {"text": text, "ask": ask, "replace_draft": "on"})
        assert said.status_code == 422
        assert "FC-T1 B is being written in the browser" in said.content.decode()
    assert last().number == 1
    led = desk.post(bring, {"text": text, "ask": "into_draft"})
    assert led["Location"] == address()
    assert "minutes: 50" in last().text
    act(desk, "undo")
    assert "minutes: 45" in last().text
    assert not ProcedureRevision.objects.filter(revision="B").exists()
