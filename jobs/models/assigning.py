"""Whom the manager put onto which car or operation."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from jobs.models.jobs import Job, JobOperation


class Assignment(models.Model):
    """Somebody is to work on a car, or on one operation of it, until taken off."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="assignments")
    job_operation = models.ForeignKey(
        JobOperation, on_delete=models.PROTECT, null=True, blank=True, related_name="assignments"
    )
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="assignments")
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(_("since"))
    ended_at = models.DateTimeField(_("until"), null=True, blank=True)

    class Meta:
        verbose_name = _("assignment")
        verbose_name_plural = _("assignments")
        ordering = ["job", "made_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["job", "job_operation", "person"],
                condition=models.Q(ended_at__isnull=True),
                name="assigned_once",
            )
        ]

    def __str__(self) -> str:
        return f"{self.person} {self.job_id}"
