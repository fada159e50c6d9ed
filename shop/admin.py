"""The ground floor's rows in the administration pages."""

import json
from typing import Any

from django.contrib import admin
from django.db import models
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _

from shop.admin_sites import KeptAdmin, ReadOnlyAdmin, register_evidence
from shop.instrument_forms import CalibrationForm, InstrumentForm
from shop.models import (
    Bay,
    Calibration,
    Certificate,
    Customer,
    Entry,
    Event,
    Instrument,
    Person,
    ShopSettings,
    StreamHead,
    Tablet,
    Turn,
    Vehicle,
)
from shop.settings_forms import ShopSettingsForm


@admin.register(ShopSettings)
class ShopSettingsAdmin(KeptAdmin):
    form = ShopSettingsForm

    def has_add_permission(self, request: HttpRequest) -> bool:
        """There is one row."""
        return super().has_add_permission(request) and not ShopSettings.objects.exists()


@admin.register(Bay)
class BayAdmin(KeptAdmin):
    list_display = ("number", "name", "is_open")


@admin.register(Instrument)
class InstrumentAdmin(KeptAdmin):
    form = InstrumentForm
    list_display = ("code", "name", "kind", "resolution", "permissible_error", "is_withdrawn")
    list_filter = ("kind", "is_withdrawn")
    search_fields = ("code", "name")

    def get_readonly_fields(self, request: HttpRequest, obj: Any = None) -> tuple[str, ...]:
        """The code names the instrument's stream in the record; it stays."""
        return ("code",) if obj else ()


@admin.register(Calibration)
class CalibrationAdmin(KeptAdmin):
    form = CalibrationForm
    list_display = ("instrument", "done_on", "due_on", "way", "passed")
    list_filter = ("passed", "way")
    list_select_related = ("instrument",)

    def get_readonly_fields(self, request: HttpRequest, obj: Any = None) -> tuple[str, ...]:
        return ("instrument",) if obj else ()


@admin.register(Certificate)
class CertificateAdmin(KeptAdmin):
    list_display = ("person", "skill", "number", "valid_from", "valid_until")
    list_select_related = ("person",)


@admin.register(Customer)
class CustomerAdmin(KeptAdmin):
    list_display = ("name", "phone", "email")
    search_fields = ("name", "phone")


@admin.register(Vehicle)
class VehicleAdmin(KeptAdmin):
    list_display = ("description", "model_year", "serial", "plate", "customer")
    search_fields = ("description", "serial", "plate")
    list_select_related = ("customer",)


@admin.register(Person)
class PersonAdmin(ReadOnlyAdmin):
    """Looked at only: people, and how they sign, are kept on the shop's own pages."""

    list_display = ("full_name", "username", "role", "is_active")
    list_filter = ("role", "is_active")
    search_fields = ("full_name", "username")
    fields = ("full_name", "username", "role", "is_active", "last_login")


@admin.register(Event)
class EventAdmin(ReadOnlyAdmin):
    list_display = ("stream", "sequence", "kind", "recorded_at")
    list_filter = ("kind",)
    search_fields = ("stream",)
    fields = ("stream", "sequence", "kind", "recorded_at", "entry", "says", "previous_hash", "hash")
    readonly_fields = ("says",)
    show_full_result_count = False

    @admin.display(description=_("payload"))
    def says(self, event: models.Model) -> str:
        assert isinstance(event, Event)
        return json.dumps(json.loads(bytes(event.payload)), indent=1, ensure_ascii=False)


register_evidence(Entry, "stream", "subject", "kind", "signer", "received_at", "outcome", find=("stream",))
register_evidence(StreamHead, "stream", "sequence", "hash", find=("stream",))
register_evidence(Tablet, "name", "bay", "assigned_by", "assigned_at", "revoked_at")
register_evidence(Turn, "person", "tablet", "started_at", "ended_at")
