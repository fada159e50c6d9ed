"""A paper that was asked for: its row is the truth, the queue carries only its number."""

import uuid

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _


class DocumentState(models.TextChoices):
    ASKED = "asked", _("asked for")
    IN_WORK = "in_work", _("in work")
    READY = "ready", _("ready")
    FAILED = "failed", _("failed")


class Document(models.Model):
    """A paper about `stream`, issue `issue` of its kind, as of event `record_sequence` of that stream."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    kind = models.CharField(_("paper"), max_length=30)
    stream = models.CharField(max_length=60)
    issue = models.PositiveIntegerField(_("issue"))
    options = models.JSONField(_("options"), default=dict)
    state = models.CharField(
        _("state"), max_length=10, choices=DocumentState.choices, default=DocumentState.ASKED
    )
    progress_done = models.PositiveIntegerField(default=0)
    progress_total = models.PositiveIntegerField(default=0)
    doing = models.CharField(_("doing"), max_length=120, blank=True)
    failure = models.TextField(_("why it failed"), blank=True)
    attempt = models.PositiveIntegerField(default=0)
    lease_until = models.DateTimeField(null=True, blank=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    asked_at = models.DateTimeField(_("asked at"))
    ready_at = models.DateTimeField(_("ready at"), null=True, blank=True)
    file = models.FileField(upload_to="documents/", blank=True)
    sha256 = models.CharField(max_length=64, blank=True)
    record_sequence = models.PositiveBigIntegerField(null=True, blank=True)
    record_hash = models.CharField(max_length=64, blank=True)

    class Meta:
        verbose_name = _("document")
        verbose_name_plural = _("documents")
        ordering = ["-asked_at"]
        constraints = [
            models.UniqueConstraint(fields=["kind", "stream", "issue"], name="document_issue_once")
        ]
        indexes = [models.Index(fields=["state", "lease_until"], name="document_sweep")]

    def __str__(self) -> str:
        return f"{self.kind} {self.stream} {self.issue}"
