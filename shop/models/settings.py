"""The shop's own rules: name, clock, hours, defaults, money."""

import datetime as dt
from decimal import Decimal
from zoneinfo import ZoneInfo

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from shop.engineering.welds.hot_work import RULES, WatchRule, rule_named_in
from shop.prepared import Prepared

# A watch by the shop's own or a local rule, which it names in its own words.
OWN_RULE = "own"
WATCH_RULES = [
    (OWN_RULE, _("the shop's own, or a local rule: named below")),
    *((rule.code, rule.described) for rule in RULES.values()),
]


def weekday_hours() -> dict[str, list[list[str]]]:
    """Monday to Friday, half past seven to four, half an hour at noon."""
    day = [["07:30", "12:00"], ["12:30", "16:00"]]
    return dict.fromkeys(("mon", "tue", "wed", "thu", "fri"), day)


class TaxedKind(models.TextChoices):
    """What a line of an estimate or invoice is for; the shop says which of them it taxes."""

    LABOUR = "labour", _("labour")
    PARTS = "parts", _("parts")
    CONSUMABLES = "consumables", _("consumables")
    SUBLET = "sublet", _("sublet work")


def usually_taxed() -> list[str]:
    """Goods; what is taxed where is for the shop's tax adviser to say."""
    return [TaxedKind.PARTS, TaxedKind.CONSUMABLES]


class ShopSettings(models.Model):
    """One row. `current()` makes do with the defaults while there is none."""

    later_fields = frozenset(
        {
            "address",
            "currency",
            "labour_rate",
            "tax_percent",
            "taxed_kinds",
            "deposit_percent",
            "link_days",
            "damage_claim_days",
            "holiday_country",
            "holiday_subdivision",
            "stage_features",
            "fire_watch_rule",
        }
    )

    name = models.CharField(_("shop"), max_length=80, default="Scribeline")
    zone = models.CharField(_("time zone"), max_length=60, default="America/Chicago")
    hours = models.JSONField(_("working hours"), default=weekday_hours)
    units = models.CharField(
        _("units"), max_length=10, default="inch", choices=[("inch", _("inch")), ("metric", _("metric"))]
    )
    fire_watch_minutes = models.PositiveIntegerField(_("fire watch, minutes"), default=60)
    fire_watch_rule = models.CharField(
        _("fire watch rule"), max_length=20, default=OWN_RULE, choices=WATCH_RULES
    )
    fire_watch_source = models.CharField(
        _("own or local rule, in words"),
        max_length=120,
        default="common practice, no source; local rules come first",
    )
    length_tolerance = models.CharField(_("default length tolerance"), max_length=30, default="±1/16 in")
    torque_tolerance = models.CharField(_("default torque tolerance"), max_length=30, default="±10 %")
    angle_tolerance = models.CharField(_("default angle tolerance"), max_length=30, default="±0.5°")
    decision_rule = models.CharField(_("decision rule"), max_length=40, default="ISO 14253-1, 95 %")

    address = models.TextField(_("address on papers"), blank=True)
    currency = models.CharField(_("currency"), max_length=3, default="USD")
    labour_rate = models.DecimalField(
        _("labour, per hour"),
        max_digits=8,
        decimal_places=2,
        default=Decimal("95.00"),
        validators=[MinValueValidator(Decimal(0))],
    )
    tax_percent = models.DecimalField(
        _("tax, percent"),
        max_digits=6,
        decimal_places=3,
        default=Decimal(0),
        validators=[MinValueValidator(Decimal(0)), MaxValueValidator(Decimal(100))],
    )
    taxed_kinds = models.JSONField(_("taxed"), default=usually_taxed, blank=True)
    deposit_percent = models.DecimalField(
        _("deposit, percent"),
        max_digits=5,
        decimal_places=2,
        default=Decimal(30),
        validators=[MinValueValidator(Decimal(0)), MaxValueValidator(Decimal(100))],
    )
    link_days = models.PositiveIntegerField(_("customer's link holds, days"), default=30)
    damage_claim_days = models.PositiveIntegerField(_("carrier's deadline for damage, days"), default=5)
    # Public holidays by ISO 3166: country and subdivision; none where the shop works through.
    holiday_country = models.CharField(_("country of public holidays"), max_length=2, blank=True)
    holiday_subdivision = models.CharField(_("state or region"), max_length=10, blank=True)
    # What a bay must have for the work of a stage, in the words of the bays' own features.
    stage_features = models.JSONField(_("what a bay must have"), default=dict, blank=True)

    class Meta:
        verbose_name = _("shop settings")
        verbose_name_plural = _("shop settings")

    def __str__(self) -> str:
        return self.name

    @classmethod
    def current(cls) -> "ShopSettings":
        return ROW.first() or cls()

    @property
    def watch_rule(self) -> WatchRule | None:
        """The published rule that the shop watches by; None where it goes by one of its own.

        Words that name a published rule hold the shop to it: they did so before there was a list to
        choose from, and a row that the record names by digest is not rewritten by a migration.
        """
        return RULES.get(self.fire_watch_rule) or rule_named_in(self.fire_watch_source)

    @property
    def watch_minutes(self) -> int:
        """How long a fire watch lasts: as the shop says, and never shorter than the rule that it chose."""
        rule = self.watch_rule
        return max(self.fire_watch_minutes, (rule.minutes or 0) if rule else 0)

    @property
    def watch_by(self) -> str:
        """The rule with its edition, or the shop's own words."""
        return str(self.watch_rule or self.fire_watch_source)

    def day_at(self, moment: dt.datetime) -> dt.date:
        """The day that a moment falls on by the shop's clock."""
        return moment.astimezone(ZoneInfo(self.zone)).date()


ROW = Prepared(lambda: ShopSettings.objects.order_by("pk")[:1])
