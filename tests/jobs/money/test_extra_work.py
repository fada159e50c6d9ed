"""An operation added as extra work may not begin before the customer's yes; nobody sets that aside."""

from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from jobs.gates.conditions import reasons_against_release
from jobs.models import Addition, Authority, ExtraWork
from tests.factories import EntryFactory
from tests.jobs.desk import Desk
from tests.jobs.money.till import ask_extra
from tests.jobs.small_route import SmallRoute, assert_accepted

pytestmark = pytest.mark.django_db


def answered(route: SmallRoute, number: int, said: str) -> None:
    payload = {"extra_work": str(number), "answer": said, "given_by": "T", "way": "written_message"}
    assert_accepted(route.send("extra_work_answer", f"extra_work/{number}", "wren", **payload))


@pytest.fixture
def added(route: SmallRoute) -> SmallRoute:
    """The car before T10, which was added for work that the customer has been asked for."""
    route.up_to("T10")
    assert_accepted(ask_extra(route))
    Addition.objects.create(
        job_operation=route.record.find("T10").job_operation,  # type: ignore[union-attr]
        extra_work=ExtraWork.objects.get(), reason="Rust", person=route.people["lind"], added_at=route.now,
        entry=EntryFactory(stream="x"),
    )  # fmt: skip
    return route


def test_it_waits_for_the_customer(added: SmallRoute) -> None:
    said = added.send("start", "T10", "fenn")
    (reason,) = said.data["reasons"]
    assert (reason["code"], reason["overridable_by"]) == ("extra_work:1", [])
    assert "waits for the customer" in reason["text"]
    aside = added.send("override", "T10", "ash", "pin", reason_code="extra_work:1", reason="Hurry")
    assert "Nobody may set this aside" in aside.data["message"]
    assert "extra_work:1" in {r.code for r in reasons_against_release(added.record, now=added.now)}
    answered(added, 1, "yes")
    assert_accepted(added.send("start", "T10", "fenn"))


def test_a_no_stands_and_says_what_is_left_to_do(added: SmallRoute) -> None:
    answered(added, 1, "no")
    (reason,) = added.send("start", "T10", "fenn").data["reasons"]
    assert "said no" in reason["text"]
    assert "not applicable" in reason["clear"]
    assert "extra_work:1" not in {r.code for r in reasons_against_release(added.record, now=added.now)}


def test_a_photo_of_the_signed_paper_comes_with_the_answer_and_survives_a_mistake(route: SmallRoute) -> None:
    ask_extra(route)
    out = BytesIO()
    Image.new("RGB", (40, 30), "white").save(out, "PNG")
    desk = Desk(route, "wren")
    fakes = SimpleUploadedFile("a.png", b"no picture")
    posted = {
        "kind": "extra_work_answer", "subject": "extra_work/1", "saw": "",
        "p_extra_work": "1", "p_answer": "yes", "p_way": "signed_paper",
    }  # fmt: skip
    where = "/jobs/1001/entries/"
    wrong = desk.post(where, {**posted, "entry_id": "11111111-1111-4111-8111-111111111111", "photo": fakes})
    assert "no picture that can be read" in wrong.content.decode()
    photo = SimpleUploadedFile("a.png", out.getvalue())
    nameless = {**posted, "entry_id": "21111111-1111-4111-8111-111111111111", "photo": photo}
    again = desk.post(where, nameless).content.decode()
    kept = again.split('name="p_photo" value="')[1].split('"')[0]
    whole = {**posted, "entry_id": "31111111-1111-4111-8111-111111111111", "p_photo": kept, "p_given_by": "T"}
    assert desk.post(where, whole).status_code == 302
    made = Authority.objects.get(extra_work__number=1)
    assert str(made.photo_id) == kept
    assert desk.get(f"/jobs/1001/photos/{kept}/")["Content-Type"] == "image/jpeg"
