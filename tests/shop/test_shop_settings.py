"""The shop's own pages: settings with hours by weekday, bays and their closures, instruments."""

import datetime as dt
import json
from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import Bay, BayClosure, Calibration, Event, Instrument, Role, ShopSettings
from shop.settings_forms import read_windows, write_windows
from shop.verification import verify_record
from tests.factories import BayFactory, CalibrationFactory, PersonFactory, ShopSettingsFactory
from tests.shop.test_admin import FIGURES

pytestmark = pytest.mark.django_db

GOOD = {
    "name": "Test Shop", "address": "1 Invented Road", "zone": "America/Denver", "units": "metric",
    "length_tolerance": "±1/32 in", "torque_tolerance": "±5 %", "angle_tolerance": "±0.25°",
    "decision_rule": "ISO 14253-1, 95 %", "fire_watch_minutes": "45", "fire_watch_source": "Test rule 1",
    "fire_watch_rule": "own",
    "currency": "cad", "labour_rate": "110.50", "tax_percent": "8.875", "taxed_kinds": ["parts", "sublet"],
    "deposit_percent": "25", "link_days": "14", "damage_claim_days": "7",
    "hours_mon": "7:30 - 12:00, 12:30-16:00", "hours_sat": "08:00–11:00",
}  # fmt: skip


@pytest.fixture
def desk(client: Client) -> Client:
    client.force_login(PersonFactory(role=Role.MANAGER))
    return client


def page_of(answer: object) -> str:
    return " ".join(answer.content.decode().split())  # type: ignore[attr-defined]


def test_all_settings_are_saved_with_an_event_that_names_what_changed(desk: Client) -> None:
    ShopSettingsFactory()
    assert desk.post(reverse("shop:shop_settings"), GOOD).status_code == 302
    row = ShopSettings.current()
    assert row.hours == {"mon": [["07:30", "12:00"], ["12:30", "16:00"]], "sat": [["08:00", "11:00"]]}
    assert (row.units, row.zone, row.currency, row.link_days) == ("metric", "America/Denver", "CAD", 14)
    assert (row.labour_rate, row.tax_percent) == (Decimal("110.50"), Decimal("8.875"))
    assert row.taxed_kinds == ["parts", "sublet"]
    said = json.loads(bytes(Event.objects.get(kind="shopsettings.changed").payload))["data"]
    assert {"hours", "units", "labour_rate", "taxed_kinds"} <= set(said["changed"])
    assert verify_record().is_whole
    assert 'value="07:30 - 12:00, 12:30 - 16:00"' in page_of(desk.get(reverse("shop:shop_settings")))


def test_the_first_settings_are_added(desk: Client) -> None:
    desk.post(reverse("shop:shop_settings"), GOOD)
    assert Event.objects.get().kind == "shopsettings.added"


@pytest.mark.parametrize(
    ("field", "value", "told"),
    [
        ("zone", "Nowhere/Else", "no time zone of that name"),
        ("units", "cubits", "not one of the available"),
        ("length_tolerance", "some", "some"),
        ("torque_tolerance", "±1/16 in", "torque"),
        ("decision_rule", "by eye", "not one of the available"),
        ("fire_watch_minutes", "0", "from one minute to a day"),
        ("fire_watch_minutes", "-5", "greater than or equal to 0"),
        ("fire_watch_minutes", "1e400", "whole number"),
        ("labour_rate", "NaN", "Enter a number"),
        ("labour_rate", "-1", "greater than or equal to 0"),
        ("labour_rate", "9" * 400, "digits"),
        ("tax_percent", "101", "less than or equal to 100"),
        ("taxed_kinds", "love", "not one of the available"),
        ("currency", "US", "three letters"),
        ("link_days", "400", "From 1 to 365 days"),
        ("name", "x" * 10_000, "at most 80"),
        ("hours_mon", "16:00 - 07:30", "ends before it begins"),
        ("hours_mon", "08:00 - 12:00, 11:00 - 16:00", "begins before the one before it ends"),
        ("hours_mon", "25:00 - 26:00", "a time that no clock shows"),
        ("hours_tue", "mornings", "is not written as 07:30 - 12:00"),
    ],
)  # fmt: skip
def test_bad_input_is_told_beside_its_field_and_kept(field: str, value: str, told: str, desk: Client) -> None:
    ShopSettingsFactory(name="Before")
    answer = desk.post(reverse("shop:shop_settings"), {**GOOD, field: value})
    assert answer.status_code == 422
    assert told in str(answer.context["form"].errors[field])
    assert ShopSettings.current().name == "Before"
    assert 'value="Test rule 1"' in page_of(answer)
    assert not Event.objects.exists()


def test_a_shop_that_never_works_is_refused(desk: Client) -> None:
    answer = desk.post(reverse("shop:shop_settings"), {**GOOD, "hours_mon": "", "hours_sat": ""})
    assert "works on at least one day" in page_of(answer)


def test_hours_are_read_as_they_are_written() -> None:
    windows = [["07:00", "09:30"], ["10:00", "23:59"]]
    assert read_windows(write_windows(windows)) == windows
    assert read_windows("  ") == []


def test_a_bay_is_added_renamed_and_closed_for_days(desk: Client) -> None:
    desk.post(reverse("shop:bay_add"), {"number": "3", "name": "Third bay", "is_open": "on"})
    where = reverse("shop:bay", args=[3])
    has = "screw stands, turn plates, screw stands,"
    desk.post(where, {"number": "3", "name": "Paint bay", "is_open": "on", "features": has})
    assert Bay.objects.get(number=3).features == ["screw stands", "turn plates"]
    assert "screw stands, turn plates" in page_of(desk.get(where))
    assert "Paint bay" in page_of(desk.get(reverse("shop:bay_list")))
    today = ShopSettings.current().day_at(dt.datetime.now(dt.UTC))
    days = {"first_day": str(today), "last_day": str(today - dt.timedelta(days=1)), "reason": "new floor"}
    wrong = desk.post(reverse("shop:closure_add", args=[3]), days)
    assert "The last day is before the first" in page_of(wrong)
    assert 'value="new floor"' in page_of(wrong)
    desk.post(reverse("shop:closure_add", args=[3]), {**days, "last_day": str(today + dt.timedelta(days=9))})
    assert "new floor" in page_of(desk.get(where))
    desk.post(reverse("shop:closure_remove", args=[3, BayClosure.objects.get().pk]))
    assert not BayClosure.objects.exists()
    kinds = [event.kind for event in Event.objects.order_by("sequence")]
    assert kinds == ["bay.added", "bay.changed", "bayclosure.added", "bayclosure.removed"]
    assert verify_record().is_whole


@pytest.mark.parametrize(("number", "told"), [("2", "already exists"), ("-1", "greater"), ("two", "whole")])
def test_a_bay_of_a_wrong_number_is_refused(number: str, told: str, desk: Client) -> None:
    BayFactory(number=2)
    answer = desk.post(reverse("shop:bay_add"), {"number": number, "name": "x"})
    assert told in str(answer.context["form"].errors["number"])
    assert Bay.objects.count() == 1


def test_an_instrument_is_added_calibrated_and_withdrawn(desk: Client) -> None:
    desk.post(reverse("shop:instrument_add"), FIGURES)
    where = reverse("shop:instrument", args=["TP-9"])
    assert "Not in calibration" in page_of(desk.get(where))
    today = ShopSettings.current().day_at(dt.datetime.now(dt.UTC))
    done = {"done_on": str(today - dt.timedelta(days=1)), "way": "certificate", "passed": "on"}
    add = reverse("shop:calibration_add", args=["TP-9"])
    wrong = desk.post(add, {**done, "due_on": str(today - dt.timedelta(days=9))})
    assert "It cannot be due before it was done" in page_of(wrong)
    desk.post(add, {**done, "due_on": str(today + dt.timedelta(days=30))})
    assert "May be used until" in page_of(desk.get(where))
    assert "runs out soon" in page_of(desk.get(reverse("shop:instrument_list")))
    figures = {name: value for name, value in FIGURES.items() if name != "code"}
    assert desk.post(where, {**figures, "resolution": "fine"}).status_code == 422
    desk.post(where, {**figures, "is_withdrawn": "on"})
    assert "Withdrawn: refused" in page_of(desk.get(where))
    assert Instrument.objects.get().is_in_calibration(on=today) is False
    kinds = [event.kind for event in Event.objects.filter(stream="instrument/TP-9").order_by("sequence")]
    assert kinds == ["instrument.added", "calibration.added", "instrument.changed"]
    assert verify_record().is_whole


def test_a_bad_calibration_takes_the_instrument_out_and_says_what_to_look_at(desk: Client) -> None:
    today = ShopSettings.current().day_at(dt.datetime.now(dt.UTC))
    CalibrationFactory(
        instrument__code="TP-3", done_on=today - dt.timedelta(days=9), due_on=today + dt.timedelta(days=99)
    )
    bad = {"done_on": str(today), "due_on": str(today + dt.timedelta(days=30)), "way": "certificate"}
    page = page_of(desk.post(reverse("shop:calibration_add", args=["TP-3"]), bad, follow=True))
    assert "Look under Trace at what TP-3 measured since its last good one" in page
    assert Calibration.objects.filter(passed=False).count() == 1
    assert "1 out of calibration" in page_of(desk.get(reverse("shop:shop")))


def test_a_watch_shorter_than_the_rule_it_names_is_refused(desk: Client) -> None:
    ShopSettingsFactory(name="Before")
    answer = desk.post(reverse("shop:shop_settings"), {**GOOD, "fire_watch_rule": "51B-2019"})
    assert "60 minutes at least; 45 is shorter" in str(answer.context["form"].errors["fire_watch_minutes"])
    assert 'value="45"' in page_of(answer)
    assert "NFPA 51B, 2019: 60 min at least" in page_of(answer)
    assert (
        desk.post(reverse("shop:shop_settings"), {**GOOD, "fire_watch_rule": "51B-2014"}).status_code == 302
    )
    assert (ShopSettings.current().watch_minutes, ShopSettings.current().watch_by) == (45, "NFPA 51B, 2014")


def test_a_watch_that_came_in_too_short_is_held_to_its_rule() -> None:
    """Whatever way a shorter figure came in, the gate goes by the rule that the shop chose."""
    short = ShopSettings(fire_watch_rule="51B-2019", fire_watch_minutes=5)
    own = ShopSettings(fire_watch_minutes=5, fire_watch_source="County permit 7")
    in_words = ShopSettings(fire_watch_minutes=5, fire_watch_source="by nfpa 51b, 2019 edition")
    assert (short.watch_minutes, short.watch_by) == (60, "NFPA 51B, 2019")
    assert in_words.watch_minutes == 60
    assert (own.watch_minutes, own.watch_by) == (5, "County permit 7")
