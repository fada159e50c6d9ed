"""What was decided for a car on the floor when a new revision of its procedure came."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from jobs.models.jobs import Job, JobOperation
from jobs.models.procedures import ProcedureRevision
from shop.models import Entry


class RevisionAnswer(models.TextChoices):
    CARRY_ON = "carry_on", _("carry on with its own revision")
    CHANGE_OVER = "change_over", _("change over to the new revision")
    REWORK = "rework", _("change over and do again what it has passed")


class RevisionDecision(models.Model):
    """What a lead decided for a car on the floor when its revision was superseded.

    The newest about a revision holds: whoever carried on may change over later.
    """

    is_evidence = True
    later_fields = frozenset({"second"})

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="revision_decisions")
    from_revision = models.ForeignKey(ProcedureRevision, on_delete=models.PROTECT, related_name="+")
    to_revision = models.ForeignKey(
        ProcedureRevision, on_delete=models.PROTECT, related_name="revision_decisions"
    )
    answer = models.CharField(_("decision"), max_length=12, choices=RevisionAnswer.choices)
    reason = models.CharField(_("reason"), max_length=300)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    second = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    decided_at = models.DateTimeField(_("at"))
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="revision_decision")

    class Meta:
        verbose_name = _("decision about a revision")
        verbose_name_plural = _("decisions about revisions")
        ordering = ["job", "pk"]

    def __str__(self) -> str:
        return f"{self.job_id} {self.answer}"


class PassedAnswer(models.TextChoices):
    ACCEPT = "accept", _("accepted as it was done")
    REWORK = "rework", _("done once more by the new revision")


class PassedDecision(models.Model):
    """What becomes of an operation that had begun before the revision which changes it came.

    `again` is the operation that does it once more by the new revision.
    """

    is_evidence = True

    decision = models.ForeignKey(RevisionDecision, on_delete=models.PROTECT, related_name="passed")
    job_operation = models.ForeignKey(JobOperation, on_delete=models.PROTECT, related_name="passed_decisions")
    answer = models.CharField(_("decision"), max_length=10, choices=PassedAnswer.choices)
    reason = models.CharField(_("reason"), max_length=300, blank=True)
    again = models.OneToOneField(
        JobOperation, on_delete=models.PROTECT, null=True, blank=True, related_name="again_of"
    )

    class Meta:
        verbose_name = _("decision about an operation passed")
        verbose_name_plural = _("decisions about operations passed")
        ordering = ["decision", "pk"]
        constraints = [models.UniqueConstraint(fields=["decision", "job_operation"], name="passed_once")]

    def __str__(self) -> str:
        return f"{self.job_operation} {self.answer}"
