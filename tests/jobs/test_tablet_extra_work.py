"""Extra work that a fabricator finds: proposed at the tablet, priced and asked for at a desk, or left."""

import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from jobs.models import ExtraWork, FoundWork
from shop.verification import verify_record
from tests.jobs.bay import Bay
from tests.jobs.desk import Desk, give_pins
from tests.jobs.small_route import SmallRoute


@pytest.fixture
def bay(route: SmallRoute) -> Bay:
    give_pins(route)
    route.up_to("T20")
    return Bay(route)


def photo() -> SimpleUploadedFile:
    out = io.BytesIO()
    Image.new("RGB", (32, 24), "#8a6a4a").save(out, "JPEG")
    return SimpleUploadedFile("rust.jpg", out.getvalue(), "image/jpeg")


def test_it_is_two_touches_from_a_stop_and_proposed_with_a_photo(bay: Bay) -> None:
    assert "/tablet/1001/T20/extra/" in bay.get("/tablet/1001/T20/problem/").content.decode()
    assert "Rust beyond the cut" in bay.get("/tablet/1001/T20/extra/").content.decode()
    given = {"what": "Rust beyond the cut", "text": "left rail, a hand long", "about": "120"}
    assert bay.enter("found_work", "T20", photo=photo(), **given).status_code == 302
    found = FoundWork.objects.get()
    assert (found.text, found.minutes) == ("Rust beyond the cut: left rail, a hand long", 120)
    assert (len(found.photo_ids), found.found_by.username) == (1, "fenn")
    assert "waits for the desk" in bay.page("T20")
    assert verify_record().is_whole


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ({"about": "60"}, "Touch what was found"),
        ({"what": "Crack"}, "Touch about how long"),
        ({"what": "Crack", "minutes": "-5"}, "whole minutes, 1 to 2400"),
        ({"what": "Crack", "about": "60", "minutes": "9" * 400}, "whole minutes"),
        ({"text": "x" * 901, "about": "60"}, "at most 900"),
    ],
)
def test_what_is_wrong_is_told_beside_it_and_the_photo_stays(
    bay: Bay, given: dict[str, str], told: str
) -> None:
    answer = bay.enter("found_work", "T20", photo=photo(), **given)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert told in page
    assert "The photo is here already" in page
    assert all(value in page for value in given.values())
    assert not FoundWork.objects.exists()


def test_the_desk_prices_it_and_asks_the_customer(bay: Bay) -> None:
    bay.enter("found_work", "T20", what="Crack", about="90", photo=photo())
    found = FoundWork.objects.get()
    desk = Desk(bay.route, "wren")
    assert "Work found at T20: Crack" in desk.page("/jobs/1001/")
    page = desk.page("/jobs/1001/money/")
    assert "Found at T20, waits to be priced" in page
    assert 'value="1.50"' in page
    asking = {"found_work": "1", "text": "A crack in the rail", "photos": " ".join(found.photo_ids)}
    wrong = desk.enter("extra_work", "extra_work", price="much", operation="T20", **asking)
    assert wrong.status_code == 422
    assert found.photo_ids[0] in wrong.content.decode()
    assert desk.enter("extra_work", "extra_work", hours="1.50", operation="T20", **asking).status_code == 302
    found.refresh_from_db()
    asked = ExtraWork.objects.get()
    assert (found.extra_work, asked.photo_ids) == (asked, found.photo_ids)
    assert "waits for the customer" in bay.page("T20")
    assert "waits to be priced" not in desk.page("/jobs/1001/money/")
    again = desk.enter("extra_work", "extra_work", price="10", operation="T20", **asking)
    assert "asked for it already" in again.content.decode()
    assert verify_record().is_whole


def test_what_is_not_asked_for_says_why_where_it_was_found(bay: Bay) -> None:
    bay.enter("found_work", "T20", what="Crack", about="15")
    left = {"found_work": "1", "reason": "It is a scratch"}
    assert Desk(bay.route, "fenn").enter("found_work_left", "found_work/1", **left).status_code == 422
    desk = Desk(bay.route, "wren")
    assert desk.enter("found_work_left", "found_work/1", **{**left, "reason": ""}).status_code == 422
    assert desk.enter("found_work_left", "found_work/1", **left).status_code == 302
    assert "It is a scratch" in bay.page("T20")
    assert "It is a scratch" in desk.page("/jobs/1001/T20/")
    assert "Work found at T20" not in desk.page("/jobs/1001/")
