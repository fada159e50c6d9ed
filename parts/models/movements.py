"""What happens to parts beside a delivery: recounted, bought in town, sent back, photographed damaged."""

import hashlib
import uuid
from decimal import Decimal

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from parts.models.kits import KitLine
from parts.models.orders import KitOrder, Receipt, ReceiptLine
from shop.models import Entry


class Recount(models.Model):
    """A line of a receipt counted again: these numbers hold from now on, the first ones stay readable."""

    is_evidence = True

    receipt_line = models.ForeignKey(ReceiptLine, on_delete=models.PROTECT, related_name="recounts")
    counted = models.PositiveIntegerField(_("good"))
    damaged = models.PositiveIntegerField(_("damaged"), default=0)
    wrong = models.PositiveIntegerField(_("wrong part"), default=0)
    reason = models.CharField(_("reason"), max_length=200)
    entry = models.ForeignKey(Entry, on_delete=models.PROTECT, related_name="recounts")

    class Meta:
        verbose_name = _("recount")
        verbose_name_plural = _("recounts")
        ordering = ["receipt_line", "pk"]

    def __str__(self) -> str:
        return f"{self.receipt_line} {self.counted}"


class LocalPurchase(models.Model):
    """Pieces of a kit's line bought elsewhere, so that the car can go on."""

    is_evidence = True
    later_fields = frozenset({"grade"})

    order = models.ForeignKey(KitOrder, on_delete=models.PROTECT, related_name="local_purchases")
    kit_line = models.ForeignKey(KitLine, on_delete=models.PROTECT, related_name="+")
    quantity = models.PositiveIntegerField(_("quantity"), validators=[MinValueValidator(1)])
    bought_from = models.CharField(_("bought from"), max_length=120)
    part_number = models.CharField(_("part number there"), max_length=40, blank=True)
    grade = models.CharField(_("grade"), max_length=30, blank=True)
    price_each = models.DecimalField(
        _("price, each"),
        max_digits=10,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal(0))],
    )
    note = models.CharField(_("note"), max_length=200, blank=True)
    bought_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    bought_at = models.DateTimeField(_("bought at"))
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="local_purchase")

    class Meta:
        verbose_name = _("local purchase")
        verbose_name_plural = _("local purchases")
        ordering = ["order", "pk"]

    def __str__(self) -> str:
        return f"{self.kit_line.part_number} {self.quantity}"


class ReturnReason(models.TextChoices):
    DAMAGED = "damaged", _("damaged")
    WRONG = "wrong", _("wrong part")
    OVER = "over", _("more than ordered")
    UNLISTED = "unlisted", _("not in the kit")
    DEFECTIVE = "defective", _("found bad later")


class PartReturn(models.Model):
    """Pieces sent back to the supplier."""

    is_evidence = True

    order = models.ForeignKey(KitOrder, on_delete=models.PROTECT, related_name="returns")
    kit_line = models.ForeignKey(KitLine, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    part_number = models.CharField(_("part number"), max_length=40)
    quantity = models.PositiveIntegerField(_("quantity"), validators=[MinValueValidator(1)])
    reason = models.CharField(_("reason"), max_length=10, choices=ReturnReason.choices)
    reference = models.CharField(_("return number"), max_length=60, blank=True)
    note = models.CharField(_("note"), max_length=200, blank=True)
    sent_on = models.DateField(_("sent on"))
    sent_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="part_return")

    class Meta:
        verbose_name = _("return")
        verbose_name_plural = _("returns")
        ordering = ["order", "pk"]

    def __str__(self) -> str:
        return f"{self.part_number} {self.quantity}"


class ScrappedPart(models.Model):
    """Pieces of a kit's line that were spoiled in the work: missing again, to be ordered anew."""

    is_evidence = True

    order = models.ForeignKey(KitOrder, on_delete=models.PROTECT, related_name="scrapped")
    kit_line = models.ForeignKey(KitLine, on_delete=models.PROTECT, related_name="+")
    quantity = models.PositiveIntegerField(_("quantity"), validators=[MinValueValidator(1)])
    reason = models.CharField(_("reason"), max_length=300)
    scrapped_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    scrapped_at = models.DateTimeField(_("scrapped at"))
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="scrapped_part")

    class Meta:
        verbose_name = _("scrapped part")
        verbose_name_plural = _("scrapped parts")
        ordering = ["order", "pk"]

    def __str__(self) -> str:
        return f"{self.kit_line.part_number} {self.quantity}"


class CarrierNotice(models.Model):
    """That the carrier was told of the damage in a delivery. The newest one counts."""

    is_evidence = True

    receipt = models.ForeignKey(Receipt, on_delete=models.PROTECT, related_name="carrier_notices")
    told_on = models.DateField(_("told on"))
    told_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    reference = models.CharField(_("the carrier's number for it"), max_length=60, blank=True)
    note = models.CharField(_("note"), max_length=200, blank=True)
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="carrier_notice")

    class Meta:
        verbose_name = _("notice to the carrier")
        verbose_name_plural = _("notices to the carrier")
        ordering = ["receipt", "pk"]

    def __str__(self) -> str:
        return f"{self.receipt} {self.told_on:%Y-%m-%d}"


class DamagePhoto(models.Model):
    """A picture of what arrived damaged, for the carrier or the supplier."""

    is_evidence = True

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    receipt = models.ForeignKey(Receipt, on_delete=models.PROTECT, related_name="photos")
    part_number = models.CharField(_("part number"), max_length=40)
    image = models.ImageField(upload_to="damage/")
    sha256 = models.CharField(max_length=64)
    taken_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    taken_at = models.DateTimeField(_("taken at"))
    entry = models.ForeignKey(Entry, on_delete=models.PROTECT, related_name="damage_photos")

    class Meta:
        verbose_name = _("photo of damage")
        verbose_name_plural = _("photos of damage")
        ordering = ["receipt", "taken_at"]

    def __str__(self) -> str:
        return f"{self.part_number} {self.taken_at:%Y-%m-%d}"

    def file_is_whole(self) -> bool:
        """Whether the picture in the store is still the one that was recorded."""
        try:
            with self.image.open("rb") as picture:
                return hashlib.sha256(picture.read()).hexdigest() == self.sha256
        except OSError:
            return False
