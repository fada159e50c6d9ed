"""What a turn leaves behind beside results: time booked, notes, lots used, cautions acknowledged."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from jobs.models.jobs import JobOperation
from shop.models import Entry, Turn


class EndedBy(models.TextChoices):
    """Why a piece of booked time came to its end."""

    NOTHING = "", _("still at work")
    PAUSED = "paused", _("paused")
    HANDED_OVER = "handed_over", _("handed over")
    FINISHED = "finished", _("operation finished")
    TURN_ENDED = "turn_ended", _("turn ended")


class BookedTime(models.Model):
    """From when to when somebody worked on an operation. Corrected only by a row beside it."""

    is_evidence = True

    job_operation = models.ForeignKey(JobOperation, on_delete=models.PROTECT, related_name="booked_times")
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="booked_times"
    )
    began_at = models.DateTimeField(_("from"))
    ended_at = models.DateTimeField(_("until"), null=True, blank=True)
    ended_by = models.CharField(_("ended by"), max_length=12, choices=EndedBy.choices, blank=True)
    reason = models.CharField(_("reason"), max_length=200, blank=True)
    entry = models.ForeignKey(Entry, on_delete=models.PROTECT, related_name="booked_times")

    class Meta:
        verbose_name = _("booked time")
        verbose_name_plural = _("booked times")
        ordering = ["job_operation", "began_at", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["person", "job_operation"],
                condition=models.Q(ended_at__isnull=True),
                name="at_work_once",
            )
        ]

    def __str__(self) -> str:
        return f"{self.person} {self.began_at:%Y-%m-%d %H:%M}"


class TimeCorrection(models.Model):
    """What a lead set right about booked time. The newest counts."""

    is_evidence = True

    booked = models.ForeignKey(BookedTime, on_delete=models.PROTECT, related_name="corrections")
    began_at = models.DateTimeField(_("from"))
    ended_at = models.DateTimeField(_("until"))
    reason = models.CharField(_("reason"), max_length=200)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="time_correction")

    class Meta:
        verbose_name = _("correction of time")
        verbose_name_plural = _("corrections of time")
        ordering = ["booked", "pk"]

    def __str__(self) -> str:
        return f"{self.booked} {self.reason}"


class WorkNote(models.Model):
    """Something worth knowing about an operation, or what the next shift is told."""

    is_evidence = True

    job_operation = models.ForeignKey(JobOperation, on_delete=models.PROTECT, related_name="notes")
    text = models.CharField(_("note"), max_length=1000)
    is_hand_over = models.BooleanField(_("for the next shift"), default=False)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    written_at = models.DateTimeField(_("written at"))
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="note")

    class Meta:
        verbose_name = _("note")
        verbose_name_plural = _("notes")
        ordering = ["job_operation", "pk"]

    def __str__(self) -> str:
        return self.text[:60]


class LotUse(models.Model):
    """From which lot a consumable or a piece of hardware was taken."""

    is_evidence = True

    job_operation = models.ForeignKey(JobOperation, on_delete=models.PROTECT, related_name="lots")
    what = models.CharField(_("consumable"), max_length=160)
    lot = models.CharField(_("lot"), max_length=60)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    used_at = models.DateTimeField(_("used at"))
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="lot_use")

    class Meta:
        verbose_name = _("lot used")
        verbose_name_plural = _("lots used")
        ordering = ["job_operation", "pk"]
        indexes = [
            models.Index(fields=["lot"], name="lot_found"),
            models.Index(fields=["what"], name="lot_of_what"),
        ]

    def __str__(self) -> str:
        return f"{self.what} {self.lot}"


class CautionSeen(models.Model):
    """Somebody acknowledged the cautions of an operation in their turn."""

    is_evidence = True

    job_operation = models.ForeignKey(JobOperation, on_delete=models.PROTECT, related_name="cautions_seen")
    turn = models.ForeignKey(Turn, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    cautions = models.JSONField(_("cautions"))
    seen_at = models.DateTimeField(_("seen at"))
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="caution_seen")

    class Meta:
        verbose_name = _("caution acknowledged")
        verbose_name_plural = _("cautions acknowledged")
        ordering = ["job_operation", "pk"]

    def __str__(self) -> str:
        return f"{self.job_operation} {self.person}"
