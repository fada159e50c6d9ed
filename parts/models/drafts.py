"""A kit list that is being written in the browser, and what was decided when a list was superseded."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from parts.models.kits import KitDefinition, KitRevision
from parts.models.orders import KitOrder
from shop.models import Entry, WrittenDraft, WrittenVersion


class KitDraft(WrittenDraft):
    """A revision to come, begun from another; closed when it was kept as a revision or thrown away."""

    word = "kit"

    kit = models.ForeignKey(KitDefinition, on_delete=models.PROTECT, related_name="drafts")
    begun_from = models.ForeignKey(KitRevision, on_delete=models.PROTECT, related_name="+")

    class Meta:
        verbose_name = _("draft of a kit")
        verbose_name_plural = _("drafts of kits")
        ordering = ["kit", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["kit", "revision"], condition=models.Q(closed_at=None), name="kit_draft_once"
            )
        ]

    def __str__(self) -> str:
        return f"{self.kit.code} {self.revision}"

    @property
    def stream(self) -> str:
        return f"kit/{self.kit.code}"


class KitDraftVersion(WrittenVersion):
    """The whole list of a kit's draft after one change, as its file holds it."""

    draft = models.ForeignKey(KitDraft, on_delete=models.PROTECT, related_name="versions")

    class Meta:
        verbose_name = _("version of a kit's draft")
        verbose_name_plural = _("versions of kits' drafts")
        ordering = ["draft", "number"]
        constraints = [models.UniqueConstraint(fields=["draft", "number"], name="kit_draft_version_once")]

    def __str__(self) -> str:
        return f"{self.draft} {self.number}"


class KitAnswer(models.TextChoices):
    CARRY_ON = "carry_on", _("carry on with what was ordered")
    CHANGE_OVER = "change_over", _("change over: what is here counts, the difference is ordered")
    REWORK = "rework", _("change over, and what is fitted by the older list is done again")


class KitDecision(models.Model):
    """What becomes of one order, and of its car, since the list of its kit was superseded."""

    is_evidence = True
    later_fields = frozenset({"again"})

    order = models.ForeignKey(KitOrder, on_delete=models.PROTECT, related_name="decisions")
    from_revision = models.ForeignKey(KitRevision, on_delete=models.PROTECT, related_name="+")
    to_revision = models.ForeignKey(KitRevision, on_delete=models.PROTECT, related_name="+")
    answer = models.CharField(_("answer"), max_length=12, choices=KitAnswer.choices)
    reason = models.CharField(_("reason"), max_length=300)
    # The operations that had begun on the car with parts that the newer list changes.
    fitted = models.JSONField(_("begun"), default=list, blank=True)
    # The code under which each of them is done once more.
    again = models.JSONField(_("done once more as"), default=dict, blank=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    second = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    decided_at = models.DateTimeField(_("decided at"))
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="kit_decision")

    class Meta:
        verbose_name = _("decision about a kit's revision")
        verbose_name_plural = _("decisions about kits' revisions")
        ordering = ["order", "pk"]

    def __str__(self) -> str:
        return f"{self.order.number} {self.to_revision.revision} {self.answer}"
