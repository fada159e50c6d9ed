"""Bad input at the pages where people type it: a clear word beside it, nothing saved, nothing typed lost.

A count over the order, the same slip twice, damage and its photos: tests/parts. Two people on one form and a
page of a turn that has ended: test_tablet_operation, test_tablet_turn_over; at a desk tests/shop/test_unsent.
"""

import datetime as dt
from html import escape

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from jobs.models import Photo, ProcedureRevision, Result
from shop.models import Certificate, Customer
from shop.pictures import MOST_BYTES
from tests.jobs.bay import Bay
from tests.jobs.desk import Desk, give_pins
from tests.jobs.short_files import GOOD
from tests.jobs.small_route import SmallRoute, assert_accepted

pytestmark = pytest.mark.django_db
NAME = "יוסף בן־דוד 🚗🔧 ‮gnirts ﷺ"
BOMB = "\n".join(
    ["format: 1", "a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    + [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 30)]
)


@pytest.fixture
def cutting(route: SmallRoute) -> Bay:
    """The tablet at C20 with its permit recorded."""
    give_pins(route)
    route.up_to("C20")
    assert_accepted(route.send("start", "C20", "fenn"))
    assert_accepted(route.read("C20.1"))
    return Bay(route)


@pytest.mark.parametrize(
    "value",
    [
        "NaN", "inf", "10^400", "1e400", "9" * 400, "29 1/2 lbf·ft", "29 1/2 °", "29 banana", "½/0",
        "29\u202e 1/2", "🔧", "<b>29</b>", "x" * 10_000,
    ],
    ids=lambda value: value[:12],
)  # fmt: skip
def test_a_dimension_that_is_none_is_told_and_stays_typed(cutting: Bay, value: str) -> None:
    answer = cutting.enter("reading", "C20", checkpoint="C20.2", **{**GOOD["C20.2"], "value": value})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert 'id="C20.2-value-error"' in page
    assert f'value="{escape(value)}"' in page
    assert not Result.objects.filter(checkpoint__code="C20.2").exists()


def test_a_negative_dimension_is_beyond_the_tape(cutting: Bay) -> None:
    given = {**GOOD["C20.2"], "value": "-29 1/2"}
    answer = cutting.enter("reading", "C20", checkpoint="C20.2", **given)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "TP-1 does not reach that far; its range is 0 in…300 in" in page
    assert 'value="-29 1/2"' in page
    assert not Result.objects.filter(checkpoint__code="C20.2").exists()


def test_a_wrong_dimension_is_recorded_as_wrong_and_stops_the_car(cutting: Bay) -> None:
    """What can be read is never thrown away: it stands in the record and opens a nonconformance."""
    given = {**GOOD["C20.2"], "value": "92 1/2"}
    assert cutting.enter("reading", "C20", checkpoint="C20.2", **given).status_code == 302
    assert Result.objects.get(checkpoint__code="C20.2").verdict == "does_not_conform"
    assert len(cutting.route.record.open_nonconformances) == 1
    assert "Does not conform" in cutting.page("C20")


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "no picture that can be read"),
        (b"\xff\xd8\xff" + b"0" * 1000, "no picture that can be read"),
        (b"\xff\xd8\xff" + b"0" * MOST_BYTES, "larger than 15 MB"),
        (b"<svg onload='x'/>", "no picture that can be read"),
    ],
    ids=["empty", "cut-short", "over-15-mb", "drawing"],
)
def test_a_photo_that_is_none_is_told_at_the_tablet(route: SmallRoute, content: bytes, words: str) -> None:
    give_pins(route)
    route.up_to("W50")
    bay = Bay(route)
    bay.enter("start", "W50")
    photo = SimpleUploadedFile("seam.jpg", content, "image/jpeg")
    answer = bay.enter("reading", "W50", checkpoint="W50.1", photo=photo, caption="left seam")
    page = answer.content.decode()
    assert answer.status_code == 422
    assert words in page
    assert not Photo.objects.exists()


def test_an_expired_certificate_is_told_with_who_may_instead(route: SmallRoute) -> None:
    give_pins(route)
    route.up_to("W20")
    day = route.now.date() - dt.timedelta(days=1)
    Certificate.objects.filter(person=route.people["fenn"], skill="structural welding").update(
        valid_until=day
    )
    answer = Bay(route).enter("start", "W20")
    assert answer.status_code == 422
    assert "certificate" in answer.content.decode()
    assert route.record.find("W20").state == "waiting"  # type: ignore[union-attr]


@pytest.mark.parametrize("path", ["/procedures/bring-in/", "/data/customers/", "/data/procedures/"])
def test_a_file_that_would_unfold_is_refused_by_its_line(route: SmallRoute, path: str) -> None:
    answer = Desk(route, "ash").post(path, {"text": BOMB})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "anchors are not allowed" in page
    assert "&amp;a29" in page
    assert ProcedureRevision.objects.count() == 1


def test_a_name_in_any_writing_is_kept_found_and_shown_as_it_is(route: SmallRoute) -> None:
    desk = Desk(route, "wren")
    Customer.objects.update(name=NAME)
    for page in ("/jobs/", "/jobs/1001/", "/jobs/?q=יוסף", "/customers/?q=🚗"):
        assert escape(NAME) in desk.page(page)


@pytest.mark.parametrize("name", ["x" * 10_000, "a\0b"], ids=["10000", "null"])
def test_a_name_that_cannot_be_kept_is_told_and_stays_typed(route: SmallRoute, name: str) -> None:
    page = f"/customers/{route.job.customer_id}/edit/"
    desk = Desk(route, "wren")
    seen = desk.page(page).split('name="seen" value="')[1].split('"')[0]
    answer = desk.post(page, {"name": name, "phone": "1", "email": "", "seen": seen})
    assert answer.status_code == 422
    assert 'id="id_name_error"' in answer.content.decode()
    assert Customer.objects.get().name != name
