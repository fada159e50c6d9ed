"""A job: one customer's car on its route."""

from decimal import Decimal
from typing import Self

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from jobs.models.procedures import Operation, ProcedureRevision
from parts.models import KitOrder
from shop.models import Bay, Customer, Entry, Vehicle

# Whoever searches with more words than these has pasted something.
MOST_WORDS = 8


class Stands(models.TextChoices):
    """Where the car stands: on stands it cannot move and blocks its bay."""

    ON_WHEELS = "on_wheels", _("on its wheels")
    ON_STANDS = "on_stands", _("on stands")
    ON_DOLLY = "on_dolly", _("on a dolly")


class JobQuerySet(models.QuerySet["Job"]):
    def on_the_floor(self) -> Self:
        """Every car that was not handed over yet."""
        return self.filter(released_at=None)

    def released(self) -> Self:
        return self.exclude(released_at=None)

    def with_car(self) -> Self:
        """With all that a page says of a car without asking again."""
        return self.select_related(
            "customer",
            "vehicle",
            "bay",
            "kit_order__kit_revision__kit",
            "procedure_revision__procedure",
            "opened_by",
            "released_by",
        )

    def found_by(self, words: str) -> Self:
        """Those in which every word is part of number, name, phone, car, plate, serial or kit order."""
        found = self
        for word in words.split()[:MOST_WORDS]:
            found = found.filter(
                models.Q(number__icontains=word)
                | models.Q(customer__name__icontains=word)
                | models.Q(customer__phone__icontains=word)
                | models.Q(vehicle__description__icontains=word)
                | models.Q(vehicle__model_year__icontains=word)
                | models.Q(vehicle__plate__icontains=word)
                | models.Q(vehicle__serial__icontains=word)
                | models.Q(kit_order__number__icontains=word)
            )
        return found

    def with_place(self) -> Self:
        """With the operation in hand (`hand_code`, `hand_title`, `hand_stage`) and how much is done."""
        open_states = [OperationState.IN_WORK, OperationState.WAITING]
        in_hand = (
            JobOperation.objects.filter(job=models.OuterRef("pk"), state__in=open_states)
            .annotate(first=models.Case(models.When(state=OperationState.IN_WORK, then=0), default=1))
            .order_by("first", "position")
        )
        done = models.Q(operations__state=OperationState.FINISHED)
        counts = ~models.Q(operations__state=OperationState.NOT_APPLICABLE)
        return self.annotate(
            hand_code=models.Subquery(in_hand.values("operation__code")[:1]),
            hand_title=models.Subquery(in_hand.values("operation__title")[:1]),
            hand_stage=models.Subquery(in_hand.values("operation__stage")[:1]),
            hand_position=models.Subquery(in_hand.values("position")[:1]),
            done_count=models.Count("operations", filter=done),
            operation_count=models.Count("operations", filter=counts),
        )


class Job(models.Model):
    is_evidence = True

    number = models.PositiveIntegerField(_("job"), unique=True)
    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="jobs")
    vehicle = models.ForeignKey(Vehicle, on_delete=models.PROTECT, related_name="jobs")
    procedure_revision = models.ForeignKey(ProcedureRevision, on_delete=models.PROTECT, related_name="jobs")
    kit_order = models.OneToOneField(KitOrder, on_delete=models.PROTECT, related_name="job")
    bay = models.ForeignKey(Bay, on_delete=models.PROTECT, null=True, blank=True, related_name="jobs")
    stands = models.CharField(_("stands"), max_length=10, choices=Stands.choices, default=Stands.ON_WHEELS)
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

    objects = JobQuerySet.as_manager()

    class Meta:
        verbose_name = _("job")
        verbose_name_plural = _("jobs")
        ordering = ["number"]
        indexes = [
            # The floor stays as quick however many cars were handed over.
            models.Index(fields=["number"], condition=models.Q(released_at=None), name="job_on_the_floor")
        ]

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
    LINK = "link", _("private link on the customer's phone")


class Authority(models.Model):
    """What the customer has allowed in writing."""

    is_evidence = True

    personal_fields = frozenset({"given_by"})
    later_fields = frozenset({"amount_limit", "photo", "link", "extra_work", "estimate"})

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="authorities")
    scope = models.TextField(_("work allowed"))
    allows_cutting = models.BooleanField(_("allows cutting the car"), default=False)
    given_by = models.CharField(_("given by"), max_length=120)
    way = models.CharField(_("how"), max_length=20, choices=AuthorityWay.choices)
    given_at = models.DateTimeField(_("given at"))
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="authority")
    amount_limit = models.DecimalField(
        _("up to"),
        max_digits=10,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal(0))],
    )
    photo = models.ForeignKey(
        "jobs.Photo", on_delete=models.PROTECT, null=True, blank=True, related_name="authorities"
    )
    link = models.ForeignKey(
        "jobs.CustomerLink", on_delete=models.PROTECT, null=True, blank=True, related_name="authorities"
    )
    extra_work = models.OneToOneField(
        "jobs.ExtraWork", on_delete=models.PROTECT, null=True, blank=True, related_name="authority"
    )
    estimate = models.ForeignKey(
        "jobs.Estimate", on_delete=models.PROTECT, null=True, blank=True, related_name="authorities"
    )

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
    """An operation on one car. It refers to the operation of *its* revision.

    `also_after` names operations of this car alone that must be done before, beside those of the revision.
    """

    is_evidence = True
    later_fields = frozenset({"also_after"})

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="operations")
    operation = models.ForeignKey(Operation, on_delete=models.PROTECT, related_name="on_jobs")
    position = models.PositiveIntegerField(_("position"))
    state = models.CharField(
        _("state"), max_length=15, choices=OperationState.choices, default=OperationState.WAITING
    )
    started_at = models.DateTimeField(_("started at"), null=True, blank=True)
    finished_at = models.DateTimeField(_("finished at"), null=True, blank=True)
    also_after = models.JSONField(_("also after"), default=list, blank=True)

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
