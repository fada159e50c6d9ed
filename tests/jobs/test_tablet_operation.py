"""An operation on the tablet: one checkpoint at a time, told at once, nothing typed lost."""

import datetime as dt
import io
import re
import uuid

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils.html import strip_tags
from PIL import Image

from jobs.models import Photo, Result
from shop.models import Calibration, Instrument
from tests.jobs.bay import Bay
from tests.jobs.desk import PIN, give_pins
from tests.jobs.short_files import GOOD
from tests.jobs.small_route import SmallRoute, assert_accepted


@pytest.fixture
def bay(route: SmallRoute) -> Bay:
    give_pins(route)
    route.up_to("C20")
    assert_accepted(route.send("start", "C20", "fenn"))
    assert_accepted(route.read("C20.1"))
    return Bay(route)


def reading(bay: Bay, **changed: str) -> dict[str, str]:
    return {"checkpoint": "C20.2", **GOOD["C20.2"], **changed}


def test_every_checkpoint_of_the_operation_stands_on_one_page(bay: Bay) -> None:
    page = bay.page("C20")
    assert 'id="C20.1"' in page
    assert 'id="C20.2"' in page
    assert "29 " in page
    assert "Cut on the line" in page


def test_a_reading_is_judged_and_told_at_once(bay: Bay) -> None:
    answer = bay.enter("reading", "C20", **reading(bay))
    assert answer.headers["Location"] == "/tablet/1001/C20/?at=C20.2#C20.2"
    assert 'data-verdict="conforms"' in bay.page("C20")


def test_what_is_recorded_without_a_limit_does_not_say_that_it_conforms(bay: Bay) -> None:
    page = bay.page("I10")
    assert 'data-verdict="recorded"' in page
    assert 'data-verdict="conforms"' not in page


def test_what_cannot_be_read_is_said_beside_it_and_stays_typed(bay: Bay) -> None:
    answer = bay.enter("reading", "C20", **reading(bay, value="29 banana"))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert 'value="29 banana"' in page
    assert 'id="C20.2-value-error"' in page
    assert not Result.objects.filter(checkpoint__code="C20.2").exists()


def test_whoever_was_overtaken_is_told_and_keeps_the_reading(bay: Bay) -> None:
    saw = str(bay.route.record.saw("C20"))
    bay.enter("problem", "C20", text="Noise")
    answer = bay.enter("reading", "C20", **reading(bay), saw=saw)
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "Something else was entered here first" in page
    assert 'value="29 1/2"' in page


def test_the_same_form_twice_is_one_result(bay: Bay) -> None:
    once = {**reading(bay), "entry_id": str(uuid.uuid4()), "saw": str(bay.route.record.saw("C20"))}
    first, second = (bay.enter("reading", "C20", **once) for _ in range(2))
    assert first.headers["Location"] == second.headers["Location"]
    assert Result.objects.filter(checkpoint__code="C20.2").count() == 1


def test_the_same_identity_with_another_reading_is_refused(bay: Bay) -> None:
    once = {**reading(bay), "entry_id": str(uuid.uuid4()), "saw": str(bay.route.record.saw("C20"))}
    bay.enter("reading", "C20", **once)
    answer = bay.enter("reading", "C20", **{**once, "value": "29 5/8"})
    assert answer.status_code == 409
    assert "recorded before with other content" in answer.content.decode()


def test_a_gate_is_told_in_words_with_what_would_clear_it(route: SmallRoute) -> None:
    give_pins(route)
    route.do("I10", "wren")
    bay = Bay(route)
    page = bay.page("T10")
    assert "has not allowed the car to be cut" in page
    assert ">Start T10<" not in page
    answer = bay.enter("start", "T10")
    assert answer.status_code == 422
    assert "Kit K-9 has not been counted" in answer.content.decode()


def test_the_first_reading_is_hidden_until_the_witness_has_read(route: SmallRoute) -> None:
    give_pins(route)
    route.up_to("C10")
    bay = Bay(route)
    bay.enter("start", "C10")
    bay.enter("reading", "C10", checkpoint="C10.1", value="29 33/64", instrument="TP-1")
    page = bay.page("C10")
    assert "hidden until the second person" in page
    assert "33/64" not in page
    assert offered(page, "Who witnesses?") == {"moss", "lind", "thorn"}
    own = {"checkpoint": "C10.2", "value": "29 1/2", "instrument": "TP-1"}
    assert bay.enter("witness", "C10", **own, person="fenn", pin=PIN).status_code == 422
    assert bay.enter("witness", "C10", **own, person="moss", pin="0000").status_code == 422
    assert bay.enter("witness", "C10", **own, person="moss", pin=PIN).status_code == 302
    assert "33/64" in bay.page("C10")


def test_nobody_is_offered_to_judge_welds_of_their_own(route: SmallRoute) -> None:
    give_pins(route)
    route.up_to("W40")
    bay = Bay(route)
    bay.enter("start", "W40")
    assert "fenn" not in offered(bay.page("W40"), "Who inspects?")


def offered(page: str, label: str) -> set[str]:
    """The names that can be touched below a question."""
    beneath = page.partition(label)[2].partition("</fieldset>")[0]
    return set(re.findall(r'name="person" value="(\w+)"', beneath))


def test_the_wrench_is_offered_with_the_figure_to_set(route: SmallRoute) -> None:
    give_pins(route)
    route.up_to("A10")
    bay = Bay(route)
    bay.enter("start", "A10")
    assert "set to 65 lbf·ft" in bay.page("A10")


def test_an_instrument_is_picked_by_its_number(route: SmallRoute) -> None:
    """As scanned or typed, before the one that was touched; refused with those that can."""
    give_pins(route)
    route.up_to("A10")
    bay = Bay(route)
    bay.enter("start", "A10")
    Calibration.objects.filter(instrument__code="AM-1").update(due_on=route.now.date() - dt.timedelta(days=1))
    given = {**GOOD["A10.1"], "checkpoint": "A10.1", "instrument_number": "am-1"}
    refused = bay.enter("reading", "A10", **given)
    assert refused.status_code == 422
    assert "can be used: TW-1" in refused.content.decode()
    assert bay.enter("reading", "A10", **{**given, "instrument_number": " tw-1 "}).status_code == 302
    page = bay.page("A10")
    assert 'data-refused="AM-1"' in page
    assert "AM-1 is out of calibration" in page


def test_an_instrument_that_cannot_prove_the_limit_is_refused_with_those_that_can(route: SmallRoute) -> None:
    give_pins(route)
    route.up_to("C20")
    coarse = Instrument.objects.get(code="TP-1")
    coarse.pk, coarse.code, coarse.resolution, coarse.permissible_error = None, "TP-9", "1/4 in", "±1/4 in"
    coarse.save()
    Calibration.objects.create(
        instrument=coarse,
        done_on=route.now.date(),
        due_on=route.now.date() + dt.timedelta(days=90),
        way="certificate",
    )
    bay = Bay(route)
    bay.enter("start", "C20")
    bay.enter("reading", "C20", checkpoint="C20.1", go="yes")
    refused = bay.enter("reading", "C20", checkpoint="C20.2", value="29 1/2", instrument="TP-9")
    assert refused.status_code == 422
    words = " ".join(strip_tags(refused.content.decode()).split())
    assert "TP-9 cannot prove this limit; these can: TP-1" in words


def test_the_side_stands_in_words_and_drawn(route: SmallRoute) -> None:
    give_pins(route)
    route.up_to("W20")
    bay = Bay(route)
    assert bay.page("W20").count("side-drawn") == 1
    assert "left and right" in bay.page("W20")
    page = bay.page("A10")
    assert page.count("side-drawn") == 1
    assert '<span class="side">left</span>' in page


def test_a_photo_goes_in_first_and_survives_an_error_after_it(route: SmallRoute) -> None:
    give_pins(route)
    route.up_to("W50")
    bay = Bay(route)
    bay.enter("start", "W50")
    out = io.BytesIO()
    Image.new("RGB", (40, 30), "red").save(out, "PNG")
    taken = SimpleUploadedFile("seam.png", out.getvalue())
    assert bay.enter("reading", "W50", checkpoint="W50.1", photo=taken).status_code == 302
    assert Photo.objects.count() == 1
    again = SimpleUploadedFile("seam.png", out.getvalue())
    assert bay.enter("reading", "W50", checkpoint="W50.1", photo=again).status_code == 422
    assert Photo.objects.count() == 2


def test_what_is_no_picture_is_said(route: SmallRoute) -> None:
    give_pins(route)
    route.up_to("W50")
    bay = Bay(route)
    bay.enter("start", "W50")
    answer = bay.enter(
        "reading", "W50", checkpoint="W50.1", photo=SimpleUploadedFile("seam.png", b"no picture")
    )
    assert answer.status_code == 422
    assert "no picture that can be read" in answer.content.decode()


def test_a_tablet_sees_the_cars_of_its_bay_alone(bay: Bay) -> None:
    bay.route.job.__class__.objects.update(bay=None)
    assert bay.get("/tablet/1001/C20/").status_code == 404
    assert bay.enter("reading", "C20", **reading(bay)).status_code == 404


def test_an_unknown_operation_or_kind_is_not_found(bay: Bay) -> None:
    assert bay.get("/tablet/1001/X99/").status_code == 404
    assert bay.enter("teleport", "C20").status_code == 404


def test_thresholds_are_handed_out_as_data_and_agree_with_the_verdicts(bay: Bay) -> None:
    data = bay.get("/tablet/1001/C20/thresholds/").json()["checkpoints"]["C20.2"]["TP-1"]
    low, high = data["accept_low"], data["accept_high"]
    assert data["unit"] == "picometre"
    assert low < 29.5 * 25.4e9 < high
    bay.enter("reading", "C20", **reading(bay))
    kept = Result.objects.get(checkpoint__code="C20.2").decision["thresholds"]
    assert (kept["accept_low"], kept["accept_high"], kept["rule_name"]) == (low, high, data["rule_name"])


def test_an_unchanged_page_is_not_sent_again(bay: Bay) -> None:
    first = bay.get("/tablet/1001/C20/")
    again = bay.get("/tablet/1001/C20/", **{"If-None-Match": first.headers["ETag"]})
    assert again.status_code == 304
    bay.enter("problem", "C20", text="Noise")
    changed = bay.get("/tablet/1001/C20/", **{"If-None-Match": first.headers["ETag"]})
    assert changed.status_code == 200


def test_a_page_takes_as_many_queries_with_many_results(bay: Bay) -> None:
    with CaptureQueriesContext(connection) as few:
        bay.page("C20")
    for _number in range(5):
        bay.route.later(minutes=1)
        assert_accepted(bay.route.read("C20.2", reason="Again"))
    with CaptureQueriesContext(connection) as many:
        bay.page("C20")
    assert len(many) <= len(few)
