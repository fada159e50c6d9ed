"""Estimates, invoices, payments. Money is decimal; what was issued is never changed."""

from decimal import Decimal

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from jobs.models.jobs import Job
from shop.models import Entry, TaxedKind


class EstimateState(models.TextChoices):
    DRAFT = "draft", _("draft")
    OFFERED = "offered", _("offered")
    ACCEPTED = "accepted", _("accepted")
    DECLINED = "declined", _("declined")
    REPLACED = "replaced", _("replaced")


class Estimate(models.Model):
    """What the work is thought to cost. Once offered it is never changed; a new issue replaces it."""

    is_evidence = True

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="estimates")
    issue = models.PositiveIntegerField(_("issue"))
    state = models.CharField(
        _("state"), max_length=10, choices=EstimateState.choices, default=EstimateState.DRAFT
    )
    tax_percent = models.DecimalField(_("tax, percent"), max_digits=6, decimal_places=3)
    taxed_kinds = models.JSONField(_("taxed"), default=list, blank=True)
    deposit_percent = models.DecimalField(_("deposit, percent"), max_digits=5, decimal_places=2)
    note = models.TextField(_("note"), max_length=2000, blank=True)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(_("made at"))
    offered_at = models.DateTimeField(_("offered at"), null=True, blank=True)
    answered_at = models.DateTimeField(_("answered at"), null=True, blank=True)

    class Meta:
        verbose_name = _("estimate")
        verbose_name_plural = _("estimates")
        ordering = ["job", "issue"]
        constraints = [models.UniqueConstraint(fields=["job", "issue"], name="estimate_issue_once")]

    def __str__(self) -> str:
        return f"{self.job_id}-E{self.issue}"


class MoneyLine(models.Model):
    """A line of an estimate or invoice."""

    position = models.PositiveIntegerField(_("line"))
    kind = models.CharField(_("for"), max_length=12, choices=TaxedKind.choices)
    operation = models.CharField(_("operation"), max_length=20, blank=True)
    text = models.CharField(_("text"), max_length=200)
    quantity = models.DecimalField(
        _("quantity"), max_digits=9, decimal_places=2, validators=[MinValueValidator(Decimal(0))]
    )
    unit = models.CharField(_("unit"), max_length=12)
    price_each = models.DecimalField(
        _("price, each"), max_digits=10, decimal_places=2, validators=[MinValueValidator(Decimal(0))]
    )

    class Meta:
        abstract = True

    def __str__(self) -> str:
        return self.text


class EstimateLine(MoneyLine):
    is_evidence = True

    estimate = models.ForeignKey(Estimate, on_delete=models.PROTECT, related_name="lines")

    class Meta:
        verbose_name = _("line of an estimate")
        verbose_name_plural = _("lines of estimates")
        ordering = ["estimate", "position"]
        constraints = [models.UniqueConstraint(fields=["estimate", "position"], name="estimate_line_once")]


class InvoiceKind(models.TextChoices):
    DEPOSIT = "deposit", _("deposit")
    CLOSING = "closing", _("closing invoice")
    CREDIT = "credit", _("credit note")


class Invoice(models.Model):
    """An invoice under the next number of the shop. Never changed or removed; a credit note takes it back."""

    is_evidence = True

    number = models.PositiveIntegerField(_("invoice"), unique=True)
    kind = models.CharField(_("kind"), max_length=10, choices=InvoiceKind.choices)
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="invoices")
    credits = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="credited_by"
    )
    net = models.DecimalField(_("net"), max_digits=11, decimal_places=2)
    tax = models.DecimalField(_("tax"), max_digits=11, decimal_places=2)
    gross = models.DecimalField(_("to pay"), max_digits=11, decimal_places=2)
    tax_percent = models.DecimalField(_("tax, percent"), max_digits=6, decimal_places=3)
    taxed_kinds = models.JSONField(_("taxed"), default=list, blank=True)
    note = models.CharField(_("note"), max_length=300, blank=True)
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    issued_at = models.DateTimeField(_("issued at"))

    class Meta:
        verbose_name = _("invoice")
        verbose_name_plural = _("invoices")
        ordering = ["number"]

    def __str__(self) -> str:
        return f"{self.number}"


class InvoiceLine(MoneyLine):
    is_evidence = True

    invoice = models.ForeignKey(Invoice, on_delete=models.PROTECT, related_name="lines")

    class Meta:
        verbose_name = _("line of an invoice")
        verbose_name_plural = _("lines of invoices")
        ordering = ["invoice", "position"]
        constraints = [models.UniqueConstraint(fields=["invoice", "position"], name="invoice_line_once")]


class PaymentWay(models.TextChoices):
    CASH = "cash", _("cash")
    CARD = "card", _("card")
    TRANSFER = "transfer", _("bank transfer")
    CHEQUE = "cheque", _("cheque")


class Payment(models.Model):
    """Money that came in for a job; negative where it was given back."""

    is_evidence = True

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="payments")
    invoice = models.ForeignKey(
        Invoice, on_delete=models.PROTECT, null=True, blank=True, related_name="payments"
    )
    amount = models.DecimalField(_("amount"), max_digits=10, decimal_places=2)
    way = models.CharField(_("how"), max_length=10, choices=PaymentWay.choices)
    note = models.CharField(_("note"), max_length=200, blank=True)
    received_at = models.DateTimeField(_("received at"))
    received_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="payment")

    class Meta:
        verbose_name = _("payment")
        verbose_name_plural = _("payments")
        ordering = ["job", "pk"]

    def __str__(self) -> str:
        return f"{self.job_id} {self.amount}"
