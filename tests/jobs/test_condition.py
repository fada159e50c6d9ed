"""The walk round a car: marks on its outline, struck out, what was read; shown on the job and for papers."""

from io import BytesIO
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from jobs.bad_input import BadInput
from jobs.car_outline import OUTLINES, middle_of, place_of
from jobs.condition import condition_of
from jobs.models import ConditionMark, ConditionView, Photo
from shop.models import Entry
from shop.verification import verify_record
from tests.jobs.desk import Desk
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db
WHERE = "/jobs/1001/condition/"
DENT = {"view": "left", "x_permille": "250", "y_permille": "600", "kind": "dent", "note": "door"}
READ = {"odometer": "48 210", "fuel": "1/2", "left_front": "26 1/4", "right_front": "26 in"}


def mark(route: SmallRoute, **changed: Any) -> Any:
    return Desk(route, "wren").enter("condition_mark", "condition", **{**DENT, **changed})


def test_a_mark_is_put_where_the_drawing_was_touched(route: SmallRoute) -> None:
    assert mark(route).status_code == 302
    made = ConditionMark.objects.get()
    assert (made.number, made.view, made.x_permille, made.y_permille) == (1, "left", 250, 600)
    assert made.person == route.people["wren"]
    page = Desk(route, "fenn").page(WHERE)
    assert '<circle cx="250" cy="207"' in page
    assert "Dent</b>, left side" in page
    assert verify_record().is_whole


def test_without_script_the_place_is_a_link_and_then_a_choice(route: SmallRoute) -> None:
    page = Desk(route, "wren").page(WHERE)
    assert 'href="?view=rear&amp;place=C2#put-mark"' in page
    page = Desk(route, "wren").page(f"{WHERE}?view=rear&place=C2")
    assert '<option value="C2" selected>' in page
    assert '<option value="rear" selected>' in page
    assert mark(route, view="rear", place="C2", x_permille="", y_permille="").status_code == 302
    made = ConditionMark.objects.get()
    assert (made.x_permille, made.y_permille) == middle_of("C2")
    assert place_of(made.x_permille, made.y_permille) == "C2"


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"view": "below"}, "Say from which side it is seen"),
        ({"x_permille": "", "y_permille": ""}, "Touch the place on the drawing"),
        ({"x_permille": "1001"}, "Touch the place on the drawing"),
        ({"x_permille": "²"}, "Touch the place on the drawing"),
        ({"x_permille": "", "y_permille": "", "place": "J9"}, "Touch the place on the drawing"),
        ({"kind": ""}, "Say what it is"),
        ({"kind": "other", "note": ""}, "Say what was seen there"),
        ({"note": "x" * 201}, "201 characters are too many; at most 200"),
        ({"photo": "rubbish"}, "There is no such photo on this job"),
    ],
)
def test_a_mark_that_cannot_be_understood_is_told_beside_its_field(
    changed: dict[str, str], words: str, route: SmallRoute
) -> None:
    answer = mark(route, **changed)
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert not ConditionMark.objects.exists()


def test_a_photo_comes_with_the_mark(route: SmallRoute) -> None:
    picture = BytesIO()
    Image.new("RGB", (40, 30), "grey").save(picture, "JPEG")
    desk = Desk(route, "wren")
    data = {
        "entry_id": "6d2b5b0e-0d4f-4a57-8c0c-5a6a0cf0a001", "kind": "condition_mark", "subject": "condition",
        "photo": SimpleUploadedFile("door.jpg", picture.getvalue()),
        **{f"p_{name}": value for name, value in DENT.items()},
    }  # fmt: skip
    assert desk.post("/jobs/1001/entries/", data).status_code == 302
    made = ConditionMark.objects.get()
    assert made.photo == Photo.objects.get()
    address = f"/jobs/1001/photos/{made.photo_id}/"
    assert address in desk.page(WHERE)
    assert desk.get(address).headers["Content-Type"] == "image/jpeg"


def test_a_mark_is_struck_out_with_a_reason_and_stays_readable(route: SmallRoute) -> None:
    mark(route)
    mark(route, kind="rust", note="sill")
    desk = Desk(route, "lind")
    assert desk.enter("condition_strike", "condition", mark="1", reason="").status_code == 422
    assert desk.enter("condition_strike", "condition", mark="1", reason="dirt").status_code == 302
    again = desk.enter("condition_strike", "condition", mark="1", reason="dirt")
    assert "Mark 1 is struck out already" in again.content.decode()
    assert (
        "There is no such mark"
        in desk.enter("condition_strike", "condition", mark="9", reason="x").content.decode()
    )
    found = condition_of(route.job)
    assert [m.number for m in found.standing] == [2]
    assert [m.number for m in found.marks] == [1, 2]
    assert "dirt" in desk.page(WHERE)
    mark(route)
    assert ConditionMark.objects.latest("number").number == 3
    assert verify_record().is_whole


def test_what_is_read_stands_in_both_systems_and_the_newest_counts(route: SmallRoute) -> None:
    desk = Desk(route, "wren")
    assert desk.enter("condition_report", "condition-report", **READ).status_code == 302
    desk.enter("condition_report", "condition-report", **{**READ, "left_front": "660 mm", "fuel": "full"})
    found = condition_of(route.job)
    assert len(found.reports) == 2
    heights = [(height.text, height.also) for height in found.heights]
    assert heights == [("660 mm", "25 31/32 in"), ("26 in", "660.4 mm")]
    page = desk.page(WHERE)
    assert "It was read anew" in page
    assert '<option value="full" selected>' in page
    assert verify_record().is_whole


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"left_front": "-26 in"}, "left_front"), ({"left_front": "65 lbf·ft"}, "left_front"),
        ({"left_front": "NaN"}, "left_front"), ({"left_front": "9" * 400}, "left_front"),
        ({"right_front": "900 in"}, "right_front"), ({"fuel": "7/8"}, "fuel"),
        ({"odometer": "unreadable"}, "odometer"), ({"belongings": "x" * 301}, "belongings"),
    ],
)  # fmt: skip
def test_what_cannot_have_been_read_is_told_and_nothing_is_lost(
    changed: dict[str, str], field: str, route: SmallRoute
) -> None:
    with pytest.raises(BadInput) as bad:
        route.send("condition_report", "condition-report", "wren", **{**READ, **changed})
    assert list(bad.value.errors) == [field]
    answer = Desk(route, "wren").enter("condition_report", "condition-report", **{**READ, **changed})
    assert answer.status_code == 422
    assert "48 210" in answer.content.decode() or field == "odometer"
    assert not condition_of(route.job).is_recorded


def test_an_empty_report_is_none(route: SmallRoute) -> None:
    with pytest.raises(BadInput):
        route.send("condition_report", "condition-report", "wren")
    assert not Entry.objects.filter(kind="condition_report").exists()


def test_the_job_page_says_it_in_one_line(route: SmallRoute) -> None:
    desk = Desk(route, "wren")
    assert "No walk round the car is recorded yet." in desk.page("/jobs/1001/")
    mark(route)
    mark(route)
    mark(route, kind="rust")
    assert "3 marks (2 dent, 1 rust); odometer and ride heights not read yet." in desk.page("/jobs/1001/")
    desk.enter("condition_report", "condition-report", **READ)
    assert "2 ride heights, odometer 48 210, fuel 1/2." in desk.page("/jobs/1001/")


def test_only_those_who_walk_round_cars_may(route: SmallRoute) -> None:
    assert 'id="put-mark"' not in Desk(route, "pike").page(WHERE)
    answer = Desk(route, "pike").enter("condition_mark", "condition", **DENT)
    assert answer.status_code == 422
    assert "This is done by: " in answer.content.decode()


def test_htmx_asks_for_its_own_part_again(route: SmallRoute) -> None:
    desk = Desk(route, "wren")
    answer = desk.enter("condition_mark", "condition", target="x", **DENT)
    assert (answer.status_code, answer.headers["HX-Trigger"]) == (204, "condition-changed")
    assert desk.get(WHERE, target="condition").content.decode().lstrip().startswith('<div id="condition"')
    part = desk.get(WHERE, target="condition-report").content.decode()
    assert part.lstrip().startswith('<section id="condition-report"')


def test_every_view_is_drawn_with_its_marks_for_papers_too(route: SmallRoute) -> None:
    assert set(OUTLINES) == set(ConditionView)
    mark(route, view="top")
    pictures = {picture.view: picture for picture in condition_of(route.job).pictures}
    assert [placed.mark.number for placed in pictures["top"].marks] == [1]
    assert all(len(picture.cells) == 32 for picture in pictures.values())
