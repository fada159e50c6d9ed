"""The people of the shop, what they may do and what they are certified for."""

import datetime as dt
import hashlib
import hmac

from django.conf import settings
from django.contrib.auth.hashers import check_password, make_password
from django.contrib.auth.models import AbstractUser
from django.db import models
from django.utils.translation import gettext_lazy as _

# Before a hash that was made of the PIN together with the shop's pepper.
PEPPERED = "peppered$"


class Role(models.TextChoices):
    SERVICE_WRITER = "service_writer", _("Service writer")
    FABRICATOR = "fabricator", _("Fabricator")
    LEAD = "lead", _("Lead")
    PARTS_CLERK = "parts_clerk", _("Parts clerk")
    MANAGER = "manager", _("Manager")


class Skill(models.TextChoices):
    """What an operation takes; the words of the procedure file."""

    SERVICE = "service", _("service")
    FABRICATION = "fabrication", _("fabrication")
    LAYOUT = "layout", _("layout")
    STRUCTURAL_WELDING = "structural welding", _("structural welding")
    INSPECTION = "inspection", _("inspection")
    ALIGNMENT = "alignment", _("alignment")


class Units(models.TextChoices):
    """Which system stands large; the other stands beside it."""

    INCH = "inch", _("inch, foot-pound")
    METRIC = "metric", _("millimetre, newton metre")


class Fractions(models.TextChoices):
    """How an inch is divided."""

    FRACTION = "fraction", _("fractions: 29 1/2 in")
    DECIMAL = "decimal", _("decimals: 29.5 in")


class Person(AbstractUser):
    """Somebody of the shop: signs in at a desk with a password, at a tablet with a PIN.

    What `units` leaves empty is shown as the shop's settings, or the sheet itself, have it.
    """

    full_name = models.CharField(_("name"), max_length=120)
    role = models.CharField(_("role"), max_length=20, choices=Role.choices)
    pin_hash = models.CharField(max_length=200, blank=True, editable=False)
    # Weekday to windows as the shop's own hours are written; empty where they are the shop's.
    hours = models.JSONField(_("own working hours"), default=dict, blank=True)
    units = models.CharField(_("figures in"), max_length=10, blank=True, choices=Units.choices)
    fractions = models.CharField(_("inches as"), max_length=10, blank=True, choices=Fractions.choices)

    class Meta:
        verbose_name = _("person")
        verbose_name_plural = _("people")
        ordering = ["full_name"]

    def __str__(self) -> str:
        return self.full_name or self.username

    def get_full_name(self) -> str:
        return self.full_name

    def set_pin(self, pin: str) -> None:
        self.pin_hash = PEPPERED + make_password(_peppered(pin))

    def has_pin(self, pin: str) -> bool:
        """Whether it is the PIN. A hash from before there was a pepper holds until its next use."""
        if not self.pin_hash:
            return False
        if not self.has_peppered_pin:
            return check_password(pin, self.pin_hash)
        return check_password(_peppered(pin), self.pin_hash.removeprefix(PEPPERED))

    @property
    def has_peppered_pin(self) -> bool:
        return self.pin_hash.startswith(PEPPERED)

    @property
    def is_lead(self) -> bool:
        return self.role == Role.LEAD

    @property
    def is_manager(self) -> bool:
        return self.role == Role.MANAGER

    def is_certified(self, skill: str, *, on: dt.date) -> bool:
        """Whether a certificate for `skill` is valid on that day."""
        return any(c.skill == skill and c.valid_from <= on <= c.valid_until for c in self.certificates.all())


def _peppered(pin: str) -> str:
    """The PIN with a secret that is not in the database: whoever steals that alone cannot try PINs on it."""
    return hmac.new(settings.PIN_PEPPER.encode(), pin.encode(), hashlib.sha256).hexdigest()


class Certificate(models.Model):
    """What a person is certified for, from when to when."""

    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="certificates")
    skill = models.CharField(_("skill"), max_length=30, choices=Skill.choices)
    number = models.CharField(_("number"), max_length=40)
    valid_from = models.DateField(_("valid from"))
    valid_until = models.DateField(_("valid until"))

    class Meta:
        verbose_name = _("certificate")
        verbose_name_plural = _("certificates")
        ordering = ["valid_until"]

    def __str__(self) -> str:
        return f"{self.get_skill_display()} {self.number}"
