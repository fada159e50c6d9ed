"""What a lead decided about a limit that nothing in the shop can prove."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from jobs.models.procedures import Checkpoint


class JudgedWay(models.TextChoices):
    SIMPLE = "simple", _("simple acceptance: as read, with the named instrument")
    FINER = "finer", _("a finer instrument is bought or hired")
    DEVIATION = "deviation", _("the limit is changed for each car by a deviation")


class JudgingDecision(models.Model):
    """How a limit is judged that is finer than anything in the shop can prove: decided once, in the open."""

    is_evidence = True

    checkpoint = models.OneToOneField(Checkpoint, on_delete=models.PROTECT, related_name="judging")
    way = models.CharField(_("how it is judged"), max_length=10, choices=JudgedWay.choices)
    instrument = models.CharField(_("instrument"), max_length=80, blank=True)
    reason = models.CharField(_("reason"), max_length=300)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    second = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    decided_at = models.DateTimeField(_("decided at"))

    class Meta:
        verbose_name = _("decision how a limit is judged")
        verbose_name_plural = _("decisions how limits are judged")
        ordering = ["checkpoint"]

    def __str__(self) -> str:
        return f"{self.checkpoint.code} {self.way}"
