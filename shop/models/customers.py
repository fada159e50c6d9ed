"""Whose car it is, and which car."""

import uuid
from typing import Self

from django.db import models
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

# Whoever searches with more words than these has pasted something.
MOST_WORDS = 8


class CustomerQuerySet(models.QuerySet["Customer"]):
    def kept(self) -> Self:
        """Without the rows that were merged into another."""
        return self.filter(merged_into=None)

    def found_by(self, words: str) -> Self:
        """Those in which every word is part of name, phone, e-mail, or of one of their cars."""
        found = self
        for word in words.split()[:MOST_WORDS]:
            cars = Vehicle.objects.kept().found_by(word)
            found = found.filter(
                models.Q(name__icontains=word)
                | models.Q(phone__icontains=word)
                | models.Q(email__icontains=word)
                | models.Q(pk__in=cars.values("customer"))
            )
        return found


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

    objects = CustomerQuerySet.as_manager()

    class Meta:
        verbose_name = _("customer")
        verbose_name_plural = _("customers")
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name or _now("(erased)")


class VehicleQuerySet(models.QuerySet["Vehicle"]):
    def kept(self) -> Self:
        """Without the rows that were merged into another."""
        return self.filter(merged_into=None)

    def found_by(self, words: str) -> Self:
        """Those in which every word is part of plate, serial, model year, make and model."""
        found = self
        for word in words.split()[:MOST_WORDS]:
            found = found.filter(
                models.Q(plate__icontains=word)
                | models.Q(serial__icontains=word)
                | models.Q(description__icontains=word)
                | models.Q(model_year__icontains=word)
            )
        return found


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

    objects = VehicleQuerySet.as_manager()

    class Meta:
        verbose_name = _("vehicle")
        verbose_name_plural = _("vehicles")
        ordering = ["description", "model_year"]

    def __str__(self) -> str:
        return f"{self.model_year} {self.description}"
