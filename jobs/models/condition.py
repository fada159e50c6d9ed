"""The car as it came in: a walk round it with marks, photos and ride heights."""

from django.conf import settings
from django.core.validators import MaxValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from jobs.models.evidence import Photo
from jobs.models.jobs import Job
from shop.models import Entry


class ConditionView(models.TextChoices):
    LEFT = "left", _("left side")
    RIGHT = "right", _("right side")
    FRONT = "front", _("front")
    REAR = "rear", _("rear")
    TOP = "top", _("from above")
    UNDER = "under", _("from below")
    INSIDE = "inside", _("inside")


class ConditionKind(models.TextChoices):
    SCRATCH = "scratch", _("scratch")
    DENT = "dent", _("dent")
    RUST = "rust", _("rust")
    CRACK = "crack", _("crack")
    OLD_REPAIR = "old_repair", _("old repair")
    MISSING = "missing", _("missing part")
    GLASS = "glass", _("glass")
    OTHER = "other", _("other")


class ConditionMark(models.Model):
    """One thing seen on the car, at a place on its outline. Struck out, it stays readable."""

    is_evidence = True

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="condition_marks")
    number = models.PositiveIntegerField(_("mark"))
    view = models.CharField(_("view"), max_length=8, choices=ConditionView.choices)
    x_permille = models.PositiveIntegerField(_("from the left, 1/1000"), validators=[MaxValueValidator(1000)])
    y_permille = models.PositiveIntegerField(_("from above, 1/1000"), validators=[MaxValueValidator(1000)])
    kind = models.CharField(_("what"), max_length=12, choices=ConditionKind.choices)
    note = models.CharField(_("note"), max_length=200, blank=True)
    photo = models.ForeignKey(
        Photo, on_delete=models.PROTECT, null=True, blank=True, related_name="condition_marks"
    )
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    seen_at = models.DateTimeField(_("seen at"))
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="condition_mark")
    struck_at = models.DateTimeField(_("struck out at"), null=True, blank=True)
    struck_reason = models.CharField(_("struck out because"), max_length=200, blank=True)

    class Meta:
        verbose_name = _("mark of condition")
        verbose_name_plural = _("marks of condition")
        ordering = ["job", "number"]
        constraints = [models.UniqueConstraint(fields=["job", "number"], name="condition_mark_once")]

    def __str__(self) -> str:
        return f"{self.job_id} {self.view} {self.kind}"


class ConditionReport(models.Model):
    """What was read on the walk round: odometer, tank, ride heights as written. The newest counts."""

    is_evidence = True

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="condition_reports")
    odometer = models.CharField(_("odometer"), max_length=20, blank=True)
    fuel = models.CharField(_("fuel in the tank"), max_length=40, blank=True)
    left_front = models.CharField(_("ride height, left front"), max_length=30, blank=True)
    right_front = models.CharField(_("ride height, right front"), max_length=30, blank=True)
    left_rear = models.CharField(_("ride height, left rear"), max_length=30, blank=True)
    right_rear = models.CharField(_("ride height, right rear"), max_length=30, blank=True)
    belongings = models.CharField(_("left in the car"), max_length=300, blank=True)
    note = models.CharField(_("note"), max_length=1000, blank=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    seen_at = models.DateTimeField(_("seen at"))
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="condition_report")

    class Meta:
        verbose_name = _("report of condition")
        verbose_name_plural = _("reports of condition")
        ordering = ["job", "pk"]

    def __str__(self) -> str:
        return f"{self.job_id} {self.seen_at:%Y-%m-%d}"
