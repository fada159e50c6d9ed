"""A kit that was ordered, the slips and receipts it arrived with, and when the rest will come."""

from collections.abc import Callable, Collection

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from parts.models.kits import KitLine, KitRevision
from shop.models import Entry

# Whoever searches with more words than these has pasted something.
MOST_WORDS = 8


class KitOrderQuerySet(models.QuerySet["KitOrder"]):
    def with_kit(self) -> "KitOrderQuerySet":
        return self.select_related("kit_revision__kit__supplier")

    def matching(
        self, words: str, *, of_cars: Callable[[str], Collection[int]] = lambda _word: ()
    ) -> "KitOrderQuerySet":
        """Orders with every word in number, kit, supplier or slips, or among those that `of_cars` names."""
        found = self
        for word in words.split()[:MOST_WORDS]:
            kit = "kit_revision__kit__"
            found = found.filter(
                models.Q(number__icontains=word)
                | models.Q(**{f"{kit}code__icontains": word})
                | models.Q(**{f"{kit}name__icontains": word})
                | models.Q(**{f"{kit}supplier__name__icontains": word})
                | models.Q(pk__in=PackingSlip.objects.filter(number__icontains=word).values("order"))
                | models.Q(pk__in=of_cars(word))
            )
        return found


class KitOrder(models.Model):
    number = models.CharField(_("kit order"), max_length=20, unique=True)
    kit_revision = models.ForeignKey(KitRevision, on_delete=models.PROTECT, related_name="orders")
    ordered_on = models.DateField(_("ordered on"))
    expected_on = models.DateField(_("expected on"), null=True, blank=True)

    objects = KitOrderQuerySet.as_manager()

    class Meta:
        verbose_name = _("kit order")
        verbose_name_plural = _("kit orders")
        ordering = ["number"]

    def __str__(self) -> str:
        return f"{self.number} {self.kit_revision}"

    @property
    def stream(self) -> str:
        return f"order/{self.number}"


class PackingSlip(models.Model):
    """What the supplier says was sent."""

    order = models.ForeignKey(KitOrder, on_delete=models.PROTECT, related_name="slips")
    number = models.CharField(_("packing slip"), max_length=40)
    carrier = models.CharField(_("carrier"), max_length=60, blank=True)
    dated_on = models.DateField(_("dated"))

    class Meta:
        verbose_name = _("packing slip")
        verbose_name_plural = _("packing slips")
        ordering = ["order", "dated_on", "pk"]
        constraints = [models.UniqueConstraint(fields=["order", "number"], name="slip_once")]

    def __str__(self) -> str:
        return self.number


class SlipLine(models.Model):
    """One line of a slip. `kit_line` is empty where the part is not in the kit."""

    slip = models.ForeignKey(PackingSlip, on_delete=models.PROTECT, related_name="lines")
    kit_line = models.ForeignKey(KitLine, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    part_number = models.CharField(_("part number"), max_length=40)
    description = models.CharField(_("description"), max_length=160, blank=True)
    slipped = models.PositiveIntegerField(_("sent"))
    backordered = models.PositiveIntegerField(_("backordered"), default=0)
    eta = models.DateField(_("expected on"), null=True, blank=True)

    class Meta:
        verbose_name = _("slip line")
        verbose_name_plural = _("slip lines")
        ordering = ["slip", "pk"]
        constraints = [models.UniqueConstraint(fields=["slip", "part_number"], name="slip_part_once")]

    def __str__(self) -> str:
        return self.part_number


class Receipt(models.Model):
    """One delivery as it was counted. Never changed; what was counted wrong is set right by a recount."""

    is_evidence = True
    later_fields = frozenset({"claim_by"})

    order = models.ForeignKey(KitOrder, on_delete=models.PROTECT, related_name="receipts")
    slip = models.ForeignKey(
        PackingSlip, on_delete=models.PROTECT, null=True, blank=True, related_name="receipts"
    )
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="receipt")
    received_at = models.DateTimeField(_("received at"))
    received_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    claim_by = models.DateField(_("damage to be told to the carrier by"), null=True, blank=True)

    class Meta:
        verbose_name = _("receipt")
        verbose_name_plural = _("receipts")
        ordering = ["order", "received_at", "pk"]

    def __str__(self) -> str:
        return f"{self.order.number} {self.received_at:%Y-%m-%d}"


class ReceiptLine(models.Model):
    """What was counted of one part: good pieces and damaged ones."""

    is_evidence = True

    receipt = models.ForeignKey(Receipt, on_delete=models.PROTECT, related_name="lines")
    kit_line = models.ForeignKey(KitLine, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    part_number = models.CharField(_("part number"), max_length=40)
    counted = models.PositiveIntegerField(_("good"))
    damaged = models.PositiveIntegerField(_("damaged"), default=0)
    wrong = models.PositiveIntegerField(_("wrong part"), default=0)
    note = models.CharField(_("note"), max_length=200, blank=True)

    class Meta:
        verbose_name = _("receipt line")
        verbose_name_plural = _("receipt lines")
        ordering = ["receipt", "pk"]
        constraints = [models.UniqueConstraint(fields=["receipt", "part_number"], name="receipt_part_once")]

    def __str__(self) -> str:
        return f"{self.part_number} {self.counted}"


class Expectation(models.Model):
    """When a missing part is to come, as somebody was told. The newest one counts."""

    is_evidence = True

    order = models.ForeignKey(KitOrder, on_delete=models.PROTECT, related_name="expectations")
    kit_line = models.ForeignKey(KitLine, on_delete=models.PROTECT, related_name="+")
    eta = models.DateField(_("expected on"))
    note = models.CharField(_("told by"), max_length=200, blank=True)
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="expectation")

    class Meta:
        verbose_name = _("expectation")
        verbose_name_plural = _("expectations")
        ordering = ["order", "pk"]

    def __str__(self) -> str:
        return f"{self.kit_line.part_number} {self.eta:%Y-%m-%d}"
