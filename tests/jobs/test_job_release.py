"""The page of the release: what must hold with the way there, what will stand on the papers, the release."""

import pytest

from shop.models import SignedHow
from tests.jobs.desk import PIN, Desk, give_pins
from tests.jobs.small_route import SmallRoute, assert_accepted

pytestmark = pytest.mark.django_db
WHERE = "/jobs/1001/release/"


def text_of(route: SmallRoute, who: str = "lind") -> str:
    return " ".join(Desk(route, who).page(WHERE).split())


def test_everything_that_is_open_leads_to_where_it_is_put_right(route: SmallRoute) -> None:
    assert_accepted(route.send("problem", "T10", "fenn", text="Bent stand"))
    assert_accepted(route.send("extra_work", "extra_work", "lind", text="Rust", price="800"))
    page = text_of(route)
    for href, words in (
        ("/jobs/1001/#authority", "No written authority to work is recorded"),
        ("/jobs/1001/I10/", "Operation I10 Book the car in is not finished"),
        ("/jobs/1001/A10/#A10.4", "A10.4 Rack bolt is not recorded"),
        ("/jobs/1001/#nonconformances", "Nonconformance 1 is open"),
        ("/jobs/1001/money/#extra-work", "xtra work 1"),
        ("/jobs/1001/#kit", "TC-CRADLE"),
    ):
        assert f'href="{href}"' in page, href
        assert words in page, words
    assert "0 of 13" in page
    assert "form-release" not in page
    assert "None of it can be set aside" in page


def test_nobody_is_led_where_they_may_not_go(route: SmallRoute) -> None:
    """Prices are the office's: a fabricator reads what clears it, without a way there."""
    assert_accepted(route.send("extra_work", "extra_work", "lind", text="Rust", price="800"))
    page = text_of(route, "fenn")
    assert "xtra work 1" in page
    assert "/money/" not in page


def test_what_somebody_stands_for_by_name_is_what_the_papers_say(route: SmallRoute) -> None:
    give_pins(route)
    second = route.people["thorn"].pk
    signed = {"reason": "An old repair", "second": second}
    assert_accepted(route.send("omit", "T10", "lind", SignedHow.PIN, reason="Came without"))
    different = {"checkpoint": "C10.1", "limit": "30 ±1/16 in", "text": "The rail sits lower"}
    assert_accepted(route.send("deviation", "C10", "lind", SignedHow.PIN, **different, **signed))
    aside = {"reason_code": "open:W10.1", "reason": "Coupon of yesterday"}
    assert_accepted(route.send("override", "W30", "lind", SignedHow.PIN, **aside))
    assert_accepted(route.send("problem", "A10", "fenn", text="Scratched arm"))
    decided = {"nonconformance": "1", "disposition": "use_as_is"}
    assert_accepted(route.send("disposition", "A10", "lind", SignedHow.PIN, **decided, **signed))
    page = text_of(route).split('id="by-name"')[1].split('id="release"')[0]
    for words in (
        "Nonconformance 1, use as is",
        "second: Thorn",
        "Not applicable",
        "Came without",
        "Deviation D1",
        "The rail sits lower",
        "Set aside by name",
        "Coupon of yesterday",
    ):
        assert words in page, words


def everything_done(route: SmallRoute) -> None:
    give_pins(route)
    route.up_to("A20")
    route.do("A20")
    assert_accepted(route.read("A10.2"))
    route.up_to("end")


def test_a_lead_releases_by_pin_at_the_desk_and_the_papers_stand_below(route: SmallRoute) -> None:
    everything_done(route)
    assert "Cars ready to be released" in Desk(route, "lind").page("/witness/")
    assert "form-release" not in text_of(route, "ash")
    lead = Desk(route, "lind")
    assert "form-release" in lead.page(WHERE)
    assert lead.enter("release", "release", pin="").status_code == 422
    assert lead.enter("release", "release", pin=PIN).status_code == 302
    page = text_of(route)
    assert "The record is closed." in page
    assert "form-release" not in page
    assert 'id="papers-handover"' in page
