"""The plan as it is stored: plans with their operations and cars, what the manager pinned."""

import uuid
from typing import Self

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from jobs.models.jobs import Job, JobOperation
from jobs.models.plan_searches import PlanSearch
from shop.models import Bay


class PlanState(models.TextChoices):
    SO_FAR = "so_far", _("the best so far of a search that goes on")
    FOUND = "found", _("found, not offered yet")
    OFFERED = "offered", _("offered")
    IN_FORCE = "in_force", _("in force")
    KEPT_BACK = "kept_back", _("not taken")
    REPLACED = "replaced", _("replaced")


class PlanOrigin(models.TextChoices):
    SEARCHED = "searched", _("searched for")
    CARRIED_ON = "carried_on", _("the accepted order with today's dates")


class PlanQuerySet(models.QuerySet["StoredPlan"]):
    def in_force(self) -> Self:
        return self.filter(state=PlanState.IN_FORCE)

    def so_far(self) -> Self:
        """What the search that goes on has found by now."""
        return self.filter(state=PlanState.SO_FAR).order_by("-made_at", "-pk")

    def beside(self) -> Self:
        """What lies beside the plan in force, the newest first."""
        return self.filter(state__in=[PlanState.OFFERED, PlanState.FOUND]).order_by("-made_at")


class StoredPlan(models.Model):
    """One plan for the whole shop.

    Exactly one is in force. It is the plan that the manager accepted, or that same order carried on with
    the dates of today; `accepted` leads to the one that was accepted, for what has moved since.
    Objective and bound are in slots as the problem's weights say.
    """

    state = models.CharField(_("state"), max_length=10, choices=PlanState.choices)
    origin = models.CharField(_("how"), max_length=10, choices=PlanOrigin.choices)
    search = models.ForeignKey(
        PlanSearch, on_delete=models.SET_NULL, null=True, blank=True, related_name="plans"
    )
    accepted = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="carried_on"
    )
    made_at = models.DateTimeField(_("made at"))
    objective = models.BigIntegerField(default=0)
    bound = models.BigIntegerField(null=True, blank=True)
    is_proven = models.BooleanField(default=False)
    # What could not be planned or was taken for granted: where, what, way_out, job.
    faults = models.JSONField(default=list)
    clashing_pins = models.JSONField(default=list)
    moved = models.JSONField(default=list)
    offered_at = models.DateTimeField(_("offered at"), null=True, blank=True)
    offered_because = models.CharField(max_length=200, blank=True)
    decided_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    decided_at = models.DateTimeField(_("decided at"), null=True, blank=True)

    objects = PlanQuerySet.as_manager()

    class Meta:
        verbose_name = _("plan")
        verbose_name_plural = _("plans")
        ordering = ["-made_at", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["state"], condition=models.Q(state="in_force"), name="plan_in_force_once"
            )
        ]

    def __str__(self) -> str:
        return f"{self.pk} {self.state}"

    @property
    def is_in_force(self) -> bool:
        return self.state == PlanState.IN_FORCE

    @property
    def is_beside(self) -> bool:
        return self.state in {PlanState.FOUND, PlanState.OFFERED}


class PlannedOperation(models.Model):
    """When an operation of a job is to be done, by whom, in which bay. `part` is `look` or `watch` for the
    second person's look and the fire watch that belong to it; empty for the work itself."""

    plan = models.ForeignKey(StoredPlan, on_delete=models.CASCADE, related_name="operations")
    job_operation = models.ForeignKey(JobOperation, on_delete=models.CASCADE, related_name="planned")
    part = models.CharField(max_length=5, blank=True)
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, null=True, blank=True, related_name="planned"
    )
    bay = models.ForeignKey(Bay, on_delete=models.CASCADE, null=True, blank=True, related_name="+")
    starts_at = models.DateTimeField(_("from"))
    ends_at = models.DateTimeField(_("until"))
    minutes = models.PositiveIntegerField(_("work, minutes"))
    skill = models.CharField(_("skill"), max_length=30, blank=True)

    class Meta:
        verbose_name = _("planned operation")
        verbose_name_plural = _("planned operations")
        ordering = ["plan", "starts_at", "pk"]
        indexes = [models.Index(fields=["plan", "person", "starts_at"], name="planned_of_person")]

    def __str__(self) -> str:
        return f"{self.job_operation_id} {self.starts_at:%Y-%m-%d %H:%M}"


class PlannedStay(models.Model):
    """From when to when a car has a bay."""

    plan = models.ForeignKey(StoredPlan, on_delete=models.CASCADE, related_name="stays")
    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="planned_stays")
    bay = models.ForeignKey(Bay, on_delete=models.CASCADE, related_name="+")
    starts_at = models.DateTimeField(_("from"))
    ends_at = models.DateTimeField(_("until"))

    class Meta:
        verbose_name = _("planned stay")
        verbose_name_plural = _("planned stays")
        ordering = ["plan", "bay", "starts_at"]

    def __str__(self) -> str:
        return f"{self.job_id} {self.bay_id} {self.starts_at:%Y-%m-%d}"


class PlannedCar(models.Model):
    """When a car is to be ready, and why not before. `why` holds the steps of the chain, the last cause
    first, in the words of the day on which the plan was made."""

    plan = models.ForeignKey(StoredPlan, on_delete=models.CASCADE, related_name="cars")
    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="planned_cars")
    ready_at = models.DateTimeField(_("ready"))
    promised_on = models.DateField(_("promised"), null=True, blank=True)
    why = models.JSONField(default=list)
    # By the shop played event by event; then by the plan's order of bays alone, as it is known at once.
    likely_on = models.DateField(_("as likely as not by"), null=True, blank=True)
    safe_on = models.DateField(_("four chances in five by"), null=True, blank=True)
    at_once_likely_on = models.DateField(null=True, blank=True)
    at_once_safe_on = models.DateField(null=True, blank=True)
    promise_chance = models.FloatField(_("chance of the promise"), null=True, blank=True)
    # What makes it late, the most frequent first: text, share.
    late_because = models.JSONField(default=list)

    class Meta:
        verbose_name = _("planned car")
        verbose_name_plural = _("planned cars")
        ordering = ["plan", "ready_at"]
        constraints = [models.UniqueConstraint(fields=["plan", "job"], name="planned_car_once")]

    def __str__(self) -> str:
        return f"{self.job_id} {self.ready_at:%Y-%m-%d}"


class PinKind(models.TextChoices):
    BAY = "bay", _("this car in that bay")
    PERSON = "person", _("this person on that operation")
    NOT_BEFORE = "not_before", _("not before")
    NEXT_UP = "next_up", _("next up")


class PinQuerySet(models.QuerySet["Pin"]):
    def in_force(self) -> Self:
        return self.filter(ended_at=None, job__released_at=None)


class Pin(models.Model):
    """What the manager has decided and every plan honours, until it is taken away."""

    kind = models.CharField(_("pin"), max_length=10, choices=PinKind.choices)
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="pins")
    job_operation = models.ForeignKey(
        JobOperation, on_delete=models.PROTECT, null=True, blank=True, related_name="pins"
    )
    bay = models.ForeignKey(Bay, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    not_before = models.DateField(_("not before"), null=True, blank=True)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(_("since"))
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    ended_at = models.DateTimeField(_("until"), null=True, blank=True)

    objects = PinQuerySet.as_manager()

    class Meta:
        verbose_name = _("pin")
        verbose_name_plural = _("pins")
        ordering = ["job", "made_at"]

    def __str__(self) -> str:
        return f"{self.kind} {self.job_id}"


class QuestionKind(models.TextChoices):
    EARLIEST = "earliest", _("earliest date for a new car")
    START_OR_WAIT = "start_or_wait", _("start, wait, or another car first")


class PlanQuestion(models.Model):
    """Something that is asked of the plan and worked out by the worker; the row is the truth.

    `asked` and `answer` are plain data of their kind (`jobs.plans.questions`). Nothing follows from it: it
    is no evidence and is thrown away after a while.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    kind = models.CharField(_("question"), max_length=15, choices=QuestionKind.choices)
    asked = models.JSONField(_("asked"), default=dict)
    answer = models.JSONField(_("answer"), null=True, blank=True)
    failure = models.CharField(_("why there is no answer"), max_length=300, blank=True)
    asked_at = models.DateTimeField(_("asked at"))
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    sent_at = models.DateTimeField(null=True, blank=True)
    attempt = models.PositiveIntegerField(default=0)
    lease_until = models.DateTimeField(null=True, blank=True)

    class Meta:
        verbose_name = _("question to the plan")
        verbose_name_plural = _("questions to the plan")
        ordering = ["-asked_at"]

    def __str__(self) -> str:
        return f"{self.kind} {self.asked_at:%Y-%m-%d %H:%M}"

    @property
    def is_open(self) -> bool:
        return self.answer is None and not self.failure
