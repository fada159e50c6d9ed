"""The administration pages: evidence is read there, the shop's own changed with an event."""

import json

import pytest
from django.contrib import admin
from django.test import Client
from django.urls import reverse

from shop.admin_sites import ReadOnlyAdmin
from shop.models import Event, Instrument, Person, Role, ShopSettings
from shop.verification import verify_record
from tests.factories import (
    CalibrationFactory,
    EntryFactory,
    InstrumentFactory,
    PersonFactory,
    ShopSettingsFactory,
)

pytestmark = pytest.mark.django_db

EVIDENCE = (
    "shop.entry", "shop.event", "jobs.result", "jobs.reopening", "jobs.acceptance", "jobs.override",
    "jobs.nonconformance", "jobs.photo", "jobs.authority", "jobs.job", "jobs.operation", "jobs.checkpoint",
    "jobs.procedurerevision", "parts.kitline", "parts.receipt", "parts.receiptline",
)  # fmt: skip
FIGURES = {
    "code": "TP-9", "name": "Test tape", "kind": "tape", "unit": "in", "range_low": "0 in",
    "range_high": "300 in", "resolution": "1/32 in", "permissible_error": "±1/32 in",
}  # fmt: skip


@pytest.fixture
def manager() -> Person:
    return PersonFactory(role=Role.MANAGER, is_staff=True, is_superuser=True)


@pytest.fixture
def desk(manager: Person, client: Client) -> Client:
    client.force_login(manager)
    return client


@pytest.mark.parametrize("label", EVIDENCE)
def test_evidence_is_neither_added_nor_changed_nor_deleted(label: str, desk: Client) -> None:
    app, model = label.split(".")
    assert desk.get(reverse(f"admin:{app}_{model}_changelist")).status_code == 200
    assert desk.post(reverse(f"admin:{app}_{model}_add"), {}).status_code == 403


def test_an_entry_is_shown_but_cannot_be_posted_over_or_deleted(desk: Client) -> None:
    entry = EntryFactory()
    where = reverse("admin:shop_entry_change", args=[entry.pk])
    assert desk.get(where).status_code == 200
    assert desk.post(where, {"kind": "other"}).status_code == 403
    assert desk.post(reverse("admin:shop_entry_delete", args=[entry.pk]), {"post": "yes"}).status_code == 403


def test_every_model_of_ours_is_registered_read_only_or_kept_undeletable() -> None:
    for model, shown in admin.site._registry.items():
        if model._meta.app_label in {"shop", "parts", "jobs", "documents"}:
            assert isinstance(shown, ReadOnlyAdmin) or type(shown).has_delete_permission(shown, None) is False  # type: ignore[arg-type]


def test_an_instrument_added_and_changed_leaves_events_that_verify(desk: Client, manager: Person) -> None:
    desk.post(reverse("admin:shop_instrument_add"), FIGURES)
    row = Instrument.objects.get(code="TP-9")
    changed = {**FIGURES, "name": "Test tape, blue"}
    desk.post(reverse("admin:shop_instrument_change", args=[row.pk]), changed)
    events = list(Event.objects.filter(stream="instrument/TP-9"))
    assert [e.kind for e in events] == ["instrument.added", "instrument.changed"]
    assert json.loads(bytes(events[1].payload))["data"] == {
        "by": manager.pk, "row": f"shop.instrument:{row.pk}", "changed": ["name"],
    }  # fmt: skip
    assert verify_record().is_whole


def test_a_figure_nobody_could_decide_with_is_refused_beside_its_field(desk: Client) -> None:
    answer = desk.post(reverse("admin:shop_instrument_add"), {**FIGURES, "resolution": "fine"})
    assert answer.status_code == 200
    assert answer.context["adminform"].form.errors["resolution"]
    assert not Instrument.objects.exists()


def test_the_code_of_an_instrument_stays(desk: Client) -> None:
    row = InstrumentFactory(code="TP-1")
    desk.post(reverse("admin:shop_instrument_change", args=[row.pk]), {**FIGURES, "code": "TP-2"})
    row.refresh_from_db()
    assert row.code == "TP-1"


def test_a_calibration_is_written_into_its_instruments_stream(desk: Client) -> None:
    row = CalibrationFactory(instrument__code="TP-3")
    where = reverse("admin:shop_calibration_change", args=[row.pk])
    data = {"done_on": "2030-01-02", "due_on": "2031-01-02", "way": "certificate", "passed": ""}
    assert desk.post(where, data).status_code == 302
    row.refresh_from_db()
    assert row.passed is False
    assert Event.objects.get(stream="instrument/TP-3").kind == "calibration.changed"


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("zone", "Nowhere/Else"), ("hours", '{"someday": []}'), ("hours", '{"mon": [["16:00", "07:30"]]}'),
        ("length_tolerance", "some"), ("torque_tolerance", "±1/16 in"), ("decision_rule", "by eye"),
        ("fire_watch_minutes", "20"),
    ],
)  # fmt: skip
def test_settings_that_would_not_work_are_refused(field: str, value: str, desk: Client) -> None:
    row = ShopSettingsFactory()
    good = {
        "name": "Test Shop", "zone": "America/Chicago", "hours": json.dumps(row.hours), "units": "inch",
        "fire_watch_minutes": "60", "fire_watch_source": "test", "fire_watch_rule": "1910.252",
        "length_tolerance": "±1/16 in",
        "torque_tolerance": "±10 %", "angle_tolerance": "±0.5°", "decision_rule": "ISO 14253-1, 95 %",
    }  # fmt: skip
    where = reverse("admin:shop_shopsettings_change", args=[row.pk])
    answer = desk.post(where, {**good, field: value})
    assert answer.status_code == 200
    assert field in answer.context["adminform"].form.errors
    assert desk.post(where, {**good, "name": "Other Shop"}).status_code == 302
    assert ShopSettings.current().name == "Other Shop"


def test_people_are_looked_at_there_and_nothing_of_how_they_sign_is_shown(desk: Client) -> None:
    person = PersonFactory(full_name="Test Person", pin_hash="peppered$x", password="argon2$x")
    where = reverse("admin:shop_person_change", args=[person.pk])
    page = desk.get(where).content.decode()
    assert "Test Person" in page
    assert "peppered$" not in page
    assert "argon2$" not in page
    assert desk.post(where, {"role": Role.MANAGER}).status_code == 403
