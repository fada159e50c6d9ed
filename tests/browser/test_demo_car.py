"""The demo's own procedure at the tablet: a car on its stands gets rack, bar, hubs and brakes."""

import pytest
import yaml
from playwright.sync_api import expect

from tests.browser.bay_tablet import BayTablet
from tests.browser.cast import LYING, Cast
from tests.browser.site import ROOT, Site

pytestmark = [pytest.mark.browser, pytest.mark.process]


def test_each_car_stands_where_the_scenario_says(site: Site) -> None:
    """All cars: what is in work on each, its open nonconformances, whether it is released."""
    found = site.rows(
        "SELECT j.number, (SELECT max(o.code) FROM jobs_joboperation jo JOIN jobs_operation o"
        " ON o.id = jo.operation_id WHERE jo.job_id = j.id AND jo.state = 'in_work'),"
        " (SELECT count(*) FROM jobs_nonconformance n WHERE n.job_id = j.id AND n.closed_at IS NULL),"
        " j.released_at IS NOT NULL FROM jobs_job j ORDER BY j.number"
    )
    assert found == [
        (998, None, 0, 1),
        (999, None, 0, 1),
        (1000, None, 0, 1),
        (1001, None, 0, 0),
        (1002, "W30", 1, 0),
        (1003, "C20", 0, 0),
        (1004, None, 0, 0),
        (1005, "L20", 1, 0),
        (1006, None, 0, 1),
    ]


def test_the_demo_car_goes_on_by_its_own_readings(cast: Cast) -> None:
    """Every reading of two operations as the scenario's file has them, keyed where the keypad can."""
    told = yaml.load((ROOT / "fixtures" / "readings.yaml").read_text(), Loader=yaml.BaseLoader)["readings"]
    tablet = BayTablet(cast, cast.tablet(1, size=LYING))
    tablet.begin_turn("scribner")
    for code in ("A30", "A40"):
        tablet.start(code)
        for checkpoint in (found for found in told if found.startswith(f"{code}.")):
            if checkpoint == "A30.6":
                stopped_before_the_torque(tablet, checkpoint, told[checkpoint]["good"])
            assert tablet.read(checkpoint, told[checkpoint]["good"], keys=True).status < 400, checkpoint
            expect(tablet.verdict(checkpoint)).to_have_text("Conforms")
        tablet.finish(code)


def stopped_before_the_torque(tablet: BayTablet, checkpoint: str, good: dict[str, str]) -> None:
    """Another lubricant than the card's, then wrenches that cannot set the figure: nothing is recorded."""
    section = tablet.go_to(checkpoint)
    tablet.fill(section, good)
    section.get_by_text("Something else is on the threads").click()
    section.get_by_label("What is on them?").fill("anti-seize")
    assert tablet.press("Record").status == 422
    expect(section.locator(".field-error")).to_contain_text("clamp up to")
    section.get_by_label("What is on them?").fill("")
    section.get_by_text("Another instrument").first.click()
    expect(section).to_contain_text("TW-2 begins above the figure")
    expect(section).to_contain_text("TW-3 is out of calibration")
    expect(section.locator('input[name="p_instrument"][value="TW-2"]')).to_have_count(0)
    section.locator('input[name="p_value"]').fill("")


def test_what_cannot_be_read_is_told_beside_its_field_and_kept(cast: Cast) -> None:
    """Words for a figure, then a figure that could be two things, then the right one."""
    tablet = BayTablet(cast, cast.tablet(4))
    tablet.begin_turn("scribner")
    tablet.start("I20")
    said = {"left": "about 27", "right": "27 1/4", "instrument": "TP-1"}
    assert tablet.read("I20.1", said).status == 422
    wrong = tablet.section("I20.1").locator(".reading.field-wrong")
    expect(wrong).to_have_count(1)
    expect(wrong.locator("input")).to_have_value("about 27")
    expect(wrong.locator(".field-error")).to_contain_text("about 27")
    expect(tablet.section("I20.1").locator('input[name="p_right"]')).to_have_value("27 1/4")
    assert tablet.read("I20.1", {"left": "27 1/8"}, keys=False).status < 400
    expect(tablet.section("I20.1")).to_contain_text("27 1/8")
