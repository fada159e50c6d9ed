"""What passes between shop and customer: the private link, and work found on the way that waits for a yes."""

from decimal import Decimal

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from jobs.models.jobs import Job, JobOperation
from shop.models import Entry


class CustomerLink(models.Model):
    """A private address on the customer's phone. Only the hash of its secret is kept."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="links")
    token_hash = models.CharField(max_length=64, unique=True, editable=False)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(_("made at"))
    expires_at = models.DateTimeField(_("holds until"))
    revoked_at = models.DateTimeField(_("revoked at"), null=True, blank=True)
    opened_at = models.DateTimeField(_("last opened"), null=True, blank=True)

    class Meta:
        verbose_name = _("customer's link")
        verbose_name_plural = _("customers' links")
        ordering = ["job", "-made_at"]

    def __str__(self) -> str:
        return f"{self.job_id} {self.made_at:%Y-%m-%d}"


class CustomerAnswer(models.TextChoices):
    NONE = "", _("not answered yet")
    YES = "yes", _("yes")
    NO = "no", _("no")


class ExtraWork(models.Model):
    """Work beyond the authority. It waits for the customer; a yes is an authority of its own."""

    is_evidence = True

    number = models.PositiveIntegerField(_("extra work"))
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="extra_works")
    job_operation = models.ForeignKey(
        JobOperation, on_delete=models.PROTECT, null=True, blank=True, related_name="extra_works"
    )
    text = models.CharField(_("what was found, what is to be done"), max_length=1000)
    price = models.DecimalField(
        _("price, tax included"),
        max_digits=10,
        decimal_places=2,
        validators=[MinValueValidator(Decimal(0))],
    )
    days_later = models.PositiveIntegerField(_("moves the date by, days"), default=0)
    photo_ids = models.JSONField(_("photos"), default=list, blank=True)
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    asked_at = models.DateTimeField(_("asked at"))
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="extra_work")
    answer = models.CharField(_("answer"), max_length=3, choices=CustomerAnswer.choices, blank=True)
    answered_at = models.DateTimeField(_("answered at"), null=True, blank=True)
    withdrawn_at = models.DateTimeField(_("withdrawn at"), null=True, blank=True)

    class Meta:
        verbose_name = _("extra work")
        verbose_name_plural = _("extra work")
        ordering = ["job", "number"]
        constraints = [models.UniqueConstraint(fields=["job", "number"], name="extra_work_once")]

    def __str__(self) -> str:
        return f"{self.job_id}-X{self.number}"

    @property
    def is_waiting(self) -> bool:
        return not self.answer and self.withdrawn_at is None


class FoundWork(models.Model):
    """Work beyond the route that somebody met at the car: a desk prices it and asks the customer, or not."""

    is_evidence = True

    number = models.PositiveIntegerField(_("work found"))
    job_operation = models.ForeignKey(JobOperation, on_delete=models.PROTECT, related_name="found_works")
    text = models.CharField(_("what was found"), max_length=1000)
    minutes = models.PositiveIntegerField(_("about how long, minutes"))
    photo_ids = models.JSONField(_("photos"), default=list, blank=True)
    found_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    found_at = models.DateTimeField(_("found at"))
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="found_work")
    extra_work = models.OneToOneField(
        ExtraWork, on_delete=models.PROTECT, null=True, blank=True, related_name="found_work"
    )
    left_at = models.DateTimeField(_("not asked for"), null=True, blank=True)
    left_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    left_reason = models.CharField(_("why it is not asked for"), max_length=300, blank=True)

    class Meta:
        verbose_name = _("work found")
        verbose_name_plural = _("work found")
        ordering = ["job_operation__job", "number"]

    def __str__(self) -> str:
        return f"{self.job_operation} {self.text[:60]}"

    @property
    def is_waiting(self) -> bool:
        """Whether nobody at a desk has priced it or left it yet."""
        return self.extra_work_id is None and self.left_at is None
