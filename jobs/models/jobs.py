"""A job: one customer's car on its route."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from jobs.models.procedures import Operation, ProcedureRevision
from parts.models import KitOrder
from shop.models import Bay, Customer, Entry, Vehicle


class Stands(models.TextChoices):
    """Where the car stands: on stands it cannot move and blocks its bay."""

    ON_WHEELS = "on_wheels", _("on its wheels")
    ON_STANDS = "on_stands", _("on stands")
    ON_DOLLY = "on_dolly", _("on a dolly")


class Job(models.Model):
    number = models.PositiveIntegerField(_("job"), unique=True)
    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="jobs")
    vehicle = models.ForeignKey(Vehicle, on_delete=models.PROTECT, related_name="jobs")
    procedure_revision = models.ForeignKey(ProcedureRevision, on_delete=models.PROTECT, related_name="jobs")
    kit_order = models.OneToOneField(KitOrder, on_delete=models.PROTECT, related_name="job")
    bay = models.ForeignKey(Bay, on_delete=models.PROTECT, null=True, blank=True, related_name="jobs")
    stands = models.CharField(
        _("stands"), max_length=10, choices=Stands.choices, default=Stands.ON_WHEELS
    )
    stands_since = models.DateTimeField(_("since"))
    moved_at = models.DateTimeField(_("last moved or lifted"), null=True, blank=True)
    odometer = models.CharField(_("odometer"), max_length=20, blank=True)
    wishes = models.TextField(_("what the customer wants"), blank=True)
    promised_on = models.DateField(_("promised"), null=True, blank=True)
    opened_at = models.DateTimeField(_("opened at"))
    opened_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    released_at = models.DateTimeField(_("released at"), null=True, blank=True)
    released_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        verbose_name = _("job")
        verbose_name_plural = _("jobs")
        ordering = ["number"]

    def __str__(self) -> str:
        return f"{self.number}"

    @property
    def stream(self) -> str:
        return f"job/{self.number}"

    @property
    def is_released(self) -> bool:
        return self.released_at is not None


class AuthorityWay(models.TextChoices):
    SIGNED_PAPER = "signed_paper", _("signed paper")
    TYPED_NAME = "typed_name", _("typed name at the desk")
    WRITTEN_MESSAGE = "written_message", _("written message")


class Authority(models.Model):
    """What the customer has allowed in writing."""

    personal_fields = frozenset({"given_by"})

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="authorities")
    scope = models.TextField(_("work allowed"))
    allows_cutting = models.BooleanField(_("allows cutting the car"), default=False)
    given_by = models.CharField(_("given by"), max_length=120)
    way = models.CharField(_("how"), max_length=20, choices=AuthorityWay.choices)
    given_at = models.DateTimeField(_("given at"))
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="authority")

    class Meta:
        verbose_name = _("authority to work")
        verbose_name_plural = _("authorities to work")
        ordering = ["job", "given_at"]

    def __str__(self) -> str:
        return f"{self.job_id} {self.scope[:40]}"


class OperationState(models.TextChoices):
    WAITING = "waiting", _("waiting")
    IN_WORK = "in_work", _("in work")
    FINISHED = "finished", _("finished")
    NOT_APPLICABLE = "not_applicable", _("not applicable")


class JobOperation(models.Model):
    """An operation on one car. It refers to the operation of *its* revision."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="operations")
    operation = models.ForeignKey(Operation, on_delete=models.PROTECT, related_name="on_jobs")
    position = models.PositiveIntegerField(_("position"))
    state = models.CharField(
        _("state"), max_length=15, choices=OperationState.choices, default=OperationState.WAITING
    )
    started_at = models.DateTimeField(_("started at"), null=True, blank=True)
    finished_at = models.DateTimeField(_("finished at"), null=True, blank=True)

    class Meta:
        verbose_name = _("operation of a job")
        verbose_name_plural = _("operations of jobs")
        ordering = ["job", "position"]
        constraints = [
            models.UniqueConstraint(fields=["job", "position"], name="job_position_once"),
            models.UniqueConstraint(fields=["job", "operation"], name="job_operation_once"),
        ]

    def __str__(self) -> str:
        return f"{self.job_id} {self.operation.code}"
