"""What a lead changed about the route of one car, and what became of it when a new revision came."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from jobs.models.customer import ExtraWork
from jobs.models.jobs import Job, JobOperation
from jobs.models.procedures import Checkpoint, Operation
from shop.models import Entry


class Deviation(models.Model):
    """A signed departure from the procedure for this car alone; `limit` replaces the checkpoint's."""

    is_evidence = True

    number = models.PositiveIntegerField(_("deviation"))
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="deviations")
    job_operation = models.ForeignKey(JobOperation, on_delete=models.PROTECT, related_name="deviations")
    checkpoint = models.ForeignKey(
        Checkpoint, on_delete=models.PROTECT, null=True, blank=True, related_name="deviations"
    )
    text = models.CharField(_("what is done differently"), max_length=500)
    limit = models.CharField(_("limit for this car"), max_length=60, blank=True)
    equal = models.CharField(_("left and right equal within, for this car"), max_length=60, blank=True)
    reason = models.CharField(_("reason"), max_length=300)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    second = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    issued_at = models.DateTimeField(_("issued at"))
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="deviation")
    withdrawn_at = models.DateTimeField(_("withdrawn at"), null=True, blank=True)
    withdrawn_reason = models.CharField(_("withdrawn because"), max_length=300, blank=True)
    withdrawn_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        verbose_name = _("deviation")
        verbose_name_plural = _("deviations")
        ordering = ["job", "number"]
        constraints = [models.UniqueConstraint(fields=["job", "number"], name="deviation_once")]

    def __str__(self) -> str:
        return f"{self.job_id}-D{self.number}"

    @property
    def is_in_force(self) -> bool:
        return self.withdrawn_at is None


class Omission(models.Model):
    """An operation that a lead marked as not applicable to this car. Taken back, it is to be done again."""

    is_evidence = True

    job_operation = models.ForeignKey(JobOperation, on_delete=models.PROTECT, related_name="omissions")
    reason = models.CharField(_("reason"), max_length=300)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    second = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    omitted_at = models.DateTimeField(_("at"))
    # A change to a new revision may leave out several at once.
    entry = models.ForeignKey(Entry, on_delete=models.PROTECT, related_name="omissions")
    taken_back_at = models.DateTimeField(_("taken back at"), null=True, blank=True)

    class Meta:
        verbose_name = _("operation not applicable")
        verbose_name_plural = _("operations not applicable")
        ordering = ["job_operation", "pk"]

    def __str__(self) -> str:
        return f"{self.job_operation} {self.reason[:40]}"


class Addition(models.Model):
    """An operation that a lead added to the route of this car, or one that is to be done once more."""

    is_evidence = True

    job_operation = models.OneToOneField(JobOperation, on_delete=models.PROTECT, related_name="addition")
    copy_of = models.ForeignKey(Operation, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    extra_work = models.ForeignKey(
        ExtraWork, on_delete=models.PROTECT, null=True, blank=True, related_name="additions"
    )
    reason = models.CharField(_("reason"), max_length=300)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    added_at = models.DateTimeField(_("at"))
    # A change to a new revision may have several done once more.
    entry = models.ForeignKey(Entry, on_delete=models.PROTECT, related_name="additions")

    class Meta:
        verbose_name = _("operation added")
        verbose_name_plural = _("operations added")
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.job_operation} {self.reason[:40]}"
