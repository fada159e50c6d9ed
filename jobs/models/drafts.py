"""A procedure that is being written in the browser: every change a version of its text."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from jobs.models.procedures import Procedure, ProcedureRevision
from shop.models import WrittenDraft, WrittenVersion


class ProcedureDraft(WrittenDraft):
    """A revision to come, begun from another; closed when it was kept as a revision or thrown away."""

    word = "procedure"

    procedure = models.ForeignKey(Procedure, on_delete=models.PROTECT, related_name="drafts")
    begun_from = models.ForeignKey(ProcedureRevision, on_delete=models.PROTECT, related_name="+")

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

    @property
    def stream(self) -> str:
        return f"procedure/{self.procedure.code}"


class DraftVersion(WrittenVersion):
    """The whole text of a procedure's draft after one change."""

    draft = models.ForeignKey(ProcedureDraft, on_delete=models.PROTECT, related_name="versions")

    class Meta:
        verbose_name = _("version of a draft")
        verbose_name_plural = _("versions of drafts")
        ordering = ["draft", "number"]
        constraints = [models.UniqueConstraint(fields=["draft", "number"], name="draft_version_once")]

    def __str__(self) -> str:
        return f"{self.draft} {self.number}"
