"""A paper that was asked for: its row is the truth, the queue carries only its number."""

import datetime as dt
import uuid
from typing import Self

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _


class DocumentState(models.TextChoices):
    ASKED = "asked", _("asked for")
    IN_WORK = "in_work", _("in work")
    READY = "ready", _("ready")
    FAILED = "failed", _("failed")


class DocumentQuerySet(models.QuerySet["Document"]):
    def of(self, stream: str) -> Self:
        return self.filter(stream=stream)

    def claimable(self, *, now: dt.datetime) -> Self:
        """Asked for, or in the hands of a worker that has let its lease run out."""
        return self.filter(
            models.Q(state=DocumentState.ASKED) | models.Q(state=DocumentState.IN_WORK, lease_until__lt=now)
        )

    def sent_before(self, moment: dt.datetime) -> Self:
        return self.filter(models.Q(sent_at__isnull=True) | models.Q(sent_at__lt=moment))


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

    objects = DocumentQuerySet.as_manager()

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

    @property
    def is_ready(self) -> bool:
        return self.state == DocumentState.READY

    @property
    def is_failed(self) -> bool:
        return self.state == DocumentState.FAILED

    @property
    def is_under_way(self) -> bool:
        return self.state in {DocumentState.ASKED, DocumentState.IN_WORK}

    @property
    def paper_size(self) -> str:
        return str(self.options.get("paper", ""))

    @property
    def filename(self) -> str:
        """What a person who saves the paper finds again: `traveler-job-1042-issue-2.pdf`."""
        return f"{self.kind}-{self.stream.replace('/', '-')}-issue-{self.issue}.pdf"
