"""Whose car it is, and which car."""

import uuid

from django.db import models
from django.utils.translation import gettext_lazy as _


class Customer(models.Model):
    """Personal data lives here alone; the record names a customer by `reference`."""

    personal_fields = frozenset({"name", "phone", "email"})
    later_fields = frozenset({"merged_into", "erased_at"})

    reference = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    name = models.CharField(_("name"), max_length=120)
    phone = models.CharField(_("phone"), max_length=40, blank=True)
    email = models.EmailField(_("e-mail"), blank=True)
    merged_into = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="merged_from"
    )
    erased_at = models.DateTimeField(_("erased at"), null=True, blank=True)

    class Meta:
        verbose_name = _("customer")
        verbose_name_plural = _("customers")
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Vehicle(models.Model):
    """A car as it was booked in. The serial is kept as its maker stamped it."""

    personal_fields = frozenset({"plate"})
    later_fields = frozenset({"merged_into"})

    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="vehicles")
    model_year = models.PositiveIntegerField(_("model year"))
    description = models.CharField(_("make and model"), max_length=120)
    serial = models.CharField(_("VIN or serial"), max_length=40)
    north_america = models.BooleanField(_("built for North America"), default=True)
    plate = models.CharField(_("plate"), max_length=16, blank=True)
    merged_into = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="merged_from"
    )

    class Meta:
        verbose_name = _("vehicle")
        verbose_name_plural = _("vehicles")
        ordering = ["description", "model_year"]

    def __str__(self) -> str:
        return f"{self.model_year} {self.description}"
