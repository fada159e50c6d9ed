"""What was welded: one row for every tack, weld and repair of a weld on the map. Never edited."""

from django.conf import settings as site
from django.db import models
from django.utils.translation import gettext_lazy as _

from jobs.models.evidence import Result
from jobs.models.jobs import JobOperation
from shop.models import Entry


class WeldStep(models.TextChoices):
    TACK = "tack", _("tacked")
    WELD = "weld", _("welded")
    REPAIR = "repair", _("repaired")


class WeldMade(models.Model):
    """A weld of the map as it was made: by whom, with which settings, wire and coupon."""

    is_evidence = True

    job_operation = models.ForeignKey(JobOperation, on_delete=models.PROTECT, related_name="welds_made")
    weld = models.CharField(_("weld"), max_length=8)
    step = models.CharField(_("what"), max_length=6, choices=WeldStep.choices)
    settings = models.CharField(_("settings"), max_length=120)
    lot = models.CharField(_("filler lot"), max_length=60)
    coupon = models.ForeignKey(Result, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    person = models.ForeignKey(site.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="welds_made")
    made_at = models.DateTimeField(_("made at"))
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="weld_made")

    class Meta:
        verbose_name = _("weld made")
        verbose_name_plural = _("welds made")
        ordering = ["job_operation", "pk"]

    def __str__(self) -> str:
        return f"{self.weld} {self.step}"
