"""A procedure that is being written in the browser: every change a version of its text."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from jobs.models.procedures import Procedure, ProcedureRevision


class ProcedureDraft(models.Model):
    """A revision to come, begun from another; closed when it was kept as a revision or thrown away."""

    procedure = models.ForeignKey(Procedure, on_delete=models.PROTECT, related_name="drafts")
    revision = models.CharField(_("revision"), max_length=10)
    begun_from = models.ForeignKey(ProcedureRevision, on_delete=models.PROTECT, related_name="+")
    closed_at = models.DateTimeField(_("closed at"), null=True, blank=True)

    class Meta:
        verbose_name = _("draft of a procedure")
        verbose_name_plural = _("drafts of procedures")
        ordering = ["procedure", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["procedure", "revision"],
                condition=models.Q(closed_at=None),
                name="procedure_draft_once",
            )
        ]

    def __str__(self) -> str:
        return f"{self.procedure.code} {self.revision}"


class DraftVersion(models.Model):
    """The whole text of a draft after one change; the newest counts, the older ones are kept."""

    is_evidence = True

    draft = models.ForeignKey(ProcedureDraft, on_delete=models.PROTECT, related_name="versions")
    number = models.PositiveIntegerField(_("version"))
    text = models.TextField(_("text"))
    what = models.CharField(_("change"), max_length=200)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(_("at"))

    class Meta:
        verbose_name = _("version of a draft")
        verbose_name_plural = _("versions of drafts")
        ordering = ["draft", "number"]
        constraints = [models.UniqueConstraint(fields=["draft", "number"], name="draft_version_once")]

    def __str__(self) -> str:
        return f"{self.draft} {self.number}"
