"""Evidence: what was read, opened again, accepted, overridden, found wrong. Never edited."""

import hashlib
import uuid

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from jobs.models.jobs import Job, JobOperation
from jobs.models.procedures import Checkpoint
from shop.models import Entry, Instrument


class ResultVerdict(models.TextChoices):
    CONFORMS = "conforms", _("conforms")
    DOES_NOT_CONFORM = "does_not_conform", _("does not conform")
    TOO_CLOSE = "too_close", _("too close to call")


class Result(models.Model):
    """One reading of one checkpoint. The newest that was not reopened is the one in force."""

    is_evidence = True
    later_fields = frozenset({"deviation"})
    # Who typed it in from a sheet that was filled by hand: told by whoever loads the record.
    typed_in = ""

    job_operation = models.ForeignKey(JobOperation, on_delete=models.PROTECT, related_name="results")
    checkpoint = models.ForeignKey(Checkpoint, on_delete=models.PROTECT, related_name="results")
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="result")
    readings = models.JSONField(_("readings"))
    instrument = models.ForeignKey(
        Instrument, on_delete=models.PROTECT, null=True, blank=True, related_name="results"
    )
    angle_instrument = models.ForeignKey(
        Instrument, on_delete=models.PROTECT, null=True, blank=True, related_name="angle_results"
    )
    verdict = models.CharField(_("verdict"), max_length=20, choices=ResultVerdict.choices)
    decision = models.JSONField(_("decision"))
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="results")
    recorded_at = models.DateTimeField(_("recorded at"))
    supersedes = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="superseded_by"
    )
    reason = models.CharField(_("reason"), max_length=300, blank=True)
    deviation = models.ForeignKey(
        "jobs.Deviation", on_delete=models.PROTECT, null=True, blank=True, related_name="results"
    )

    class Meta:
        verbose_name = _("result")
        verbose_name_plural = _("results")
        ordering = ["job_operation", "pk"]

    def __str__(self) -> str:
        return f"{self.checkpoint.code} {self.verdict}"

    @property
    def is_judged(self) -> bool:
        """Whether anything was asked of it; a photo and a figure without a limit are recorded only."""
        return bool(self.decision.get("is_judged", True))


class ReopeningCause(models.TextChoices):
    LOOSENED = "loosened", _("joint loosened")
    HOT_WORK = "hot_work", _("new hot work")
    REWORK = "rework", _("rework")
    READ_ANEW = "read_anew", _("first reading taken anew")


class Reopening(models.Model):
    """A result that no longer holds."""

    is_evidence = True

    result = models.OneToOneField(Result, on_delete=models.PROTECT, related_name="reopening")
    cause = models.CharField(_("cause"), max_length=10, choices=ReopeningCause.choices)
    reason = models.CharField(_("reason"), max_length=300, blank=True)
    entry = models.ForeignKey(Entry, on_delete=models.PROTECT, related_name="reopenings")

    class Meta:
        verbose_name = _("reopening")
        verbose_name_plural = _("reopenings")
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.result} {self.cause}"


class Acceptance(models.Model):
    """A lead took a result that was too close to call, or used one as it is."""

    is_evidence = True

    result = models.OneToOneField(Result, on_delete=models.PROTECT, related_name="acceptance")
    reason = models.CharField(_("reason"), max_length=300)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    second = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="acceptance")

    class Meta:
        verbose_name = _("acceptance")
        verbose_name_plural = _("acceptances")
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.result}"


class Disposition(models.TextChoices):
    REWORK = "rework", _("rework")
    USE_AS_IS = "use_as_is", _("use as is")
    SCRAP_REORDER = "scrap_reorder", _("scrap and reorder")


class Nonconformance(models.Model):
    """Something that does not conform. Open until it has a disposition and that is carried out."""

    is_evidence = True

    number = models.PositiveIntegerField(_("nonconformance"))
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="nonconformances")
    job_operation = models.ForeignKey(JobOperation, on_delete=models.PROTECT, related_name="nonconformances")
    result = models.OneToOneField(
        Result, on_delete=models.PROTECT, null=True, blank=True, related_name="nonconformance"
    )
    checkpoint = models.ForeignKey(
        Checkpoint, on_delete=models.PROTECT, null=True, blank=True, related_name="nonconformances"
    )
    text = models.CharField(_("what is wrong"), max_length=500)
    opened_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    opened_at = models.DateTimeField(_("opened at"))
    entry = models.ForeignKey(Entry, on_delete=models.PROTECT, related_name="nonconformances")
    disposition = models.CharField(_("disposition"), max_length=15, choices=Disposition.choices, blank=True)
    disposition_reason = models.CharField(_("reason"), max_length=300, blank=True)
    disposition_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    second = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    closed_at = models.DateTimeField(_("closed at"), null=True, blank=True)

    class Meta:
        verbose_name = _("nonconformance")
        verbose_name_plural = _("nonconformances")
        ordering = ["job", "number"]
        constraints = [models.UniqueConstraint(fields=["job", "number"], name="nonconformance_once")]

    def __str__(self) -> str:
        return f"{self.job_id}-{self.number}"

    @property
    def is_open(self) -> bool:
        return self.closed_at is None


class Override(models.Model):
    """A gate's reason that somebody allowed to set aside, by name and with a reason.

    Of a missing part for as many `pieces` as were missing then: with more missing it stands again.
    """

    is_evidence = True
    later_fields = frozenset({"pieces"})

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="overrides")
    job_operation = models.ForeignKey(
        JobOperation, on_delete=models.PROTECT, null=True, blank=True, related_name="overrides"
    )
    reason_code = models.CharField(_("what was set aside"), max_length=80)
    reason_text = models.CharField(_("it said"), max_length=400)
    pieces = models.PositiveIntegerField(_("pieces missing then"), null=True, blank=True)
    reason = models.CharField(_("reason"), max_length=300)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(_("at"))
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="override")

    class Meta:
        verbose_name = _("override")
        verbose_name_plural = _("overrides")
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.job_id} {self.reason_code}"


class Photo(models.Model):
    """A picture, uploaded before the entry that refers to it, so that no error loses one."""

    is_evidence = True

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="photos")
    image = models.ImageField(upload_to="photos/")
    sha256 = models.CharField(max_length=64)
    caption = models.CharField(_("caption"), max_length=200, blank=True)
    taken_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    taken_at = models.DateTimeField(_("taken at"))
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="photo")

    class Meta:
        verbose_name = _("photo")
        verbose_name_plural = _("photos")
        ordering = ["job", "taken_at"]

    def __str__(self) -> str:
        return self.caption or str(self.id)

    def file_is_whole(self) -> bool:
        """Whether the picture in the store is still the one that was recorded."""
        try:
            with self.image.open("rb") as picture:
                return hashlib.sha256(picture.read()).hexdigest() == self.sha256
        except OSError:
            return False
