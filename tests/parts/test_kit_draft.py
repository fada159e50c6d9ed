"""Writing a kit list in the browser: faults beside fields, two people told, undone, kept, released by PIN."""

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from parts.kit_files import bring_in_kit
from parts.models import KitDraft, KitDraftVersion, KitOrder, KitRevision
from shop.file_errors import FileErrors
from shop.models import Event, Person, Role
from shop.verification import verify_record
from tests.factories import NOON, PersonFactory
from tests.parts.kit_texts import KIT

DRAFT = ("KIT-T1", "B")
PIN = "2580"


@pytest.fixture
def writer(counter: Client, order: KitOrder) -> Client:
    """The clerk's browser, with a draft B begun from the released A."""
    begun = counter.post(reverse("parts:kit_draft_begin", args=["KIT-T1", "A"]), {"revision": "b"})
    assert begun.status_code == 302
    return counter


def address(line: int = 0) -> str:
    name = "parts:kit_draft_line" if line else "parts:kit_draft"
    return reverse(name, args=[*DRAFT, line] if line else DRAFT)


def last() -> KitDraftVersion:
    return KitDraftVersion.objects.order_by("-number")[0]


def typed(desk: Client, line: int, **changed: str) -> dict[str, object]:
    page = desk.get(address(line)).context
    held = {field.html_name: field.initial for field, _faults in page["form"].rows()}
    return {**held, "seen": page["seen"], "was": page["was"], **changed}


def put(desk: Client, line: int, **changed: str) -> HttpResponse:
    return desk.post(address(line), typed(desk, line, **changed), follow=True)


def act(desk: Client, action: str, part: int = 0) -> HttpResponse:
    data = {"action": action, "part": part, "seen": last().number}
    return desk.post(address(), data, follow=True)


def test_keeping_what_was_shown_changes_nothing(writer: Client) -> None:
    for line in (1, 2, 3):
        put(writer, line)
    assert last().number == 1


def test_a_quantity_is_changed_compared_kept_and_released_by_pin(writer: Client, clerk: Person) -> None:
    put(writer, 2, quantity="6")
    said = writer.get(reverse("parts:kit_compare", args=["KIT-T1"]) + "?new=draft+B").content.decode()
    assert "T1-110" in said
    assert "more" in said
    assert "T1-100" not in said
    assert "Release KIT-T1 B?" in act(writer, "keep").content.decode()
    assert KitDraft.objects.get().closed_at is not None
    release = reverse("parts:kit_release", args=DRAFT)
    assert "K-0001" in writer.get(release).content.decode()
    clerk.set_pin(PIN)
    clerk.save()
    wrong = writer.post(release, {"pin": "1470"})
    assert wrong.status_code == 422
    assert "This is not the PIN" in wrong.content.decode()
    assert writer.post(release, {"pin": PIN}).status_code == 302
    assert KitRevision.objects.get(revision="B").lines.get(part_number="T1-110").quantity == 6
    assert KitRevision.objects.get(revision="A").state == "superseded"
    assert verify_record().is_whole


def test_a_cost_is_written_in_its_field_and_in_the_text_and_shown(writer: Client) -> None:
    put(writer, 2, unit_cost="3.40")
    text_at = reverse("parts:kit_draft_text", args=DRAFT)
    page = writer.get(text_at).context
    assert ",finish,unit_cost\n" in page["text"]
    assert "D30,yes,T1-111,,,,,3.40" in page["text"]
    again = page["text"].replace(",3.40", ",3.60")
    assert writer.post(text_at, {"text": again, "seen": page["seen"]}).status_code == 302
    without = "\n".join(line.rpartition(",")[0] for line in again.splitlines())
    seen = last().number
    assert writer.post(text_at, {"text": without, "seen": seen}).status_code == 302
    assert put(writer, 2, unit_cost="3,6").context["form"].faults["unit_cost"]
    put(writer, 2, unit_cost="3.60")
    act(writer, "keep")
    shown = writer.get(reverse("parts:kit", args=DRAFT)).content.decode()
    assert "Cost, each" in shown
    assert ">3.60<" in shown
    assert "Cost, each" not in writer.get(reverse("parts:kit", args=["KIT-T1", "A"])).content.decode()


def test_a_fault_stands_beside_its_field_with_what_was_typed(writer: Client) -> None:
    said = put(writer, 2, quantity="a few", operation="")
    assert "a few" in said.content.decode()
    beside = {field.name for field, faults in said.context["form"].rows() if faults}
    assert beside == {"quantity", "operation"}
    assert "2 faults" in writer.get(address()).content.decode()
    assert "cannot be released yet" in act(writer, "keep").content.decode()
    assert not KitRevision.objects.filter(revision="B").exists()


def test_lines_are_added_moved_removed_and_the_last_change_is_taken_back(writer: Client) -> None:
    first = last().text
    assert "Line 4" in act(writer, "add").content.decode()
    put(writer, 4, part_number="T1-300", description="Plate", operation="A20")
    act(writer, "up", 4)
    act(writer, "remove", 1)
    rows = [row.split(",")[4] for row in last().text.splitlines()[1:]]
    assert rows == ["T1-110", "T1-300", "T1-200"]
    act(writer, "undo")
    act(writer, "undo")
    assert last().number == 7
    assert first.splitlines()[0] == last().text.splitlines()[0]
    assert Event.objects.filter(kind="kit.draft_changed").count() == 7


def test_two_people_on_one_draft_are_told_and_nothing_is_lost(writer: Client) -> None:
    mine = typed(writer, 3, quantity="10")
    other = Client()
    other.force_login(PersonFactory(role=Role.LEAD))
    other.post(address(), {"action": "remove", "part": 1, "seen": 1})
    told = writer.post(address(3), mine)
    assert told.status_code == 409
    assert "changed this draft since you opened the page" in told.content.decode()
    again = writer.post(address(2), {**mine, "seen": told.context["seen"]})
    assert again.status_code == 302
    quantities = {row.split(",")[4]: row for row in last().text.splitlines()[1:]}
    assert set(quantities) == {"T1-110", "T1-200"}
    assert ",10,,A20," in quantities["T1-200"]


def test_the_text_is_kept_with_its_faults_by_line_and_stays_its_own_kit(writer: Client) -> None:
    where = reverse("parts:kit_draft_text", args=DRAFT)
    other = writer.post(where, {"text": last().text.replace("KIT-T1,B", "KIT-T1,A"), "seen": 1})
    assert other.status_code == 422
    assert "must stay" in other.content.decode()
    wrong = writer.post(where, {"text": last().text.replace(",yes,", ",maybe,", 1), "seen": 1}, follow=True)
    assert "Say yes or no" in wrong.content.decode()
    assert last().number == 2


def test_a_file_does_not_write_over_what_is_being_written(writer: Client, clerk: Person) -> None:
    with pytest.raises(FileErrors, match=r"KIT-T1 B is being written in the browser, last by"):
        bring_in_kit(KIT.replace(b"KIT-T1,A,", b"KIT-T1,B,"), by=clerk, now=NOON, release=False)
    assert not KitRevision.objects.filter(revision="B").exists()


def test_a_name_that_cannot_be_is_told_beside_the_field(writer: Client, looker: Client) -> None:
    begin = reverse("parts:kit_draft_begin", args=["KIT-T1", "A"])
    for name in ("A", "", "no blanks", "B"):
        answer = writer.post(begin, {"revision": name})
        assert answer.status_code == 422
        assert "field-error" in answer.content.decode()
    assert looker.get(address()).status_code == 403
