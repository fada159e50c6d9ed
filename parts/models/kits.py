"""What a kit is made of: definitions, their revisions, their lines."""

from decimal import Decimal

from django.core.validators import MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from shop.revisions import RevisionState, frozen_when_released


class Supplier(models.Model):
    name = models.CharField(_("name"), max_length=80, unique=True)

    class Meta:
        verbose_name = _("supplier")
        verbose_name_plural = _("suppliers")
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class KitDefinition(models.Model):
    code = models.CharField(_("kit"), max_length=30, unique=True)
    name = models.CharField(_("name"), max_length=120)
    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="kits")

    class Meta:
        verbose_name = _("kit definition")
        verbose_name_plural = _("kit definitions")
        ordering = ["code"]

    def __str__(self) -> str:
        return f"{self.code} {self.name}"


class KitRevision(models.Model):
    """A released revision never changes."""

    kit = models.ForeignKey(KitDefinition, on_delete=models.PROTECT, related_name="revisions")
    revision = models.CharField(_("revision"), max_length=10)
    state = models.CharField(
        _("state"), max_length=12, choices=RevisionState.choices, default=RevisionState.DRAFT
    )
    released_at = models.DateTimeField(_("released at"), null=True, blank=True)

    class Meta:
        verbose_name = _("kit revision")
        verbose_name_plural = _("kit revisions")
        ordering = ["kit", "revision"]
        constraints = [models.UniqueConstraint(fields=["kit", "revision"], name="kit_revision_once")]

    def __str__(self) -> str:
        return f"{self.kit.code} {self.revision}"


class Side(models.TextChoices):
    NONE = "", _("no side")
    LEFT = "left", _("left")
    RIGHT = "right", _("right")
    BOTH = "both", _("both")


@frozen_when_released("revision")
class KitLine(models.Model):
    """One part of a kit; `operation` is the code of the operation that first needs it."""

    later_fields = frozenset({"unit_cost"})

    revision = models.ForeignKey(KitRevision, on_delete=models.PROTECT, related_name="lines")
    position = models.PositiveIntegerField(_("line"))
    part_number = models.CharField(_("part number"), max_length=40)
    description = models.CharField(_("description"), max_length=160)
    quantity = models.PositiveIntegerField(_("quantity"))
    side = models.CharField(_("side"), max_length=5, choices=Side.choices, blank=True)
    operation = models.CharField(_("first needed at"), max_length=20)
    is_critical = models.BooleanField(_("critical"), default=False)
    substitutes = models.JSONField(_("substitutes"), default=list, blank=True)
    thread = models.CharField(_("thread"), max_length=30, blank=True)
    grade = models.CharField(_("grade"), max_length=30, blank=True)
    length = models.CharField(_("length"), max_length=30, blank=True)
    finish = models.CharField(_("finish"), max_length=40, blank=True)
    unit_cost = models.DecimalField(
        _("cost, each"),
        max_digits=10,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal(0))],
    )

    class Meta:
        verbose_name = _("kit line")
        verbose_name_plural = _("kit lines")
        ordering = ["revision", "position"]
        constraints = [
            models.UniqueConstraint(fields=["revision", "part_number"], name="kit_part_number_once"),
            models.UniqueConstraint(fields=["revision", "position"], name="kit_position_once"),
            models.CheckConstraint(condition=models.Q(quantity__gte=1), name="kit_quantity_at_least_one"),
        ]

    def __str__(self) -> str:
        return f"{self.part_number} {self.description}"
