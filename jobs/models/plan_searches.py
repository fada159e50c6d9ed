"""A search for a plan: what asked for it, how far it is, how it ended."""

import math
import uuid

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _


class SearchState(models.TextChoices):
    ASKED = "asked", _("asked for")
    IN_WORK = "in_work", _("searching")
    DONE = "done", _("done")
    FAILED = "failed", _("failed")


class PlanSearch(models.Model):
    """A plan that is to be searched for: the row is the truth, the queue carries only its number.

    `causes` says in plain codes what asked for it; `up_to_event` is the last event that they were read from.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    state = models.CharField(
        _("state"), max_length=10, choices=SearchState.choices, default=SearchState.ASKED
    )
    causes = models.JSONField(_("causes"), default=list)
    up_to_event = models.PositiveBigIntegerField(default=0)
    asked_at = models.DateTimeField(_("asked at"))
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    attempt = models.PositiveIntegerField(default=0)
    lease_until = models.DateTimeField(null=True, blank=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    ended_at = models.DateTimeField(_("ended at"), null=True, blank=True)
    failure = models.TextField(_("why it failed"), blank=True)
    # How far it is: when it was begun, the best of now, what no plan can be better than, and when that was.
    begun_at = models.DateTimeField(_("begun at"), null=True, blank=True)
    best_objective = models.BigIntegerField(null=True, blank=True)
    best_bound = models.BigIntegerField(null=True, blank=True)
    best_at = models.DateTimeField(null=True, blank=True)
    # Asked to stop and hand over what it has.
    stop_asked_at = models.DateTimeField(null=True, blank=True)
    stop_asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        verbose_name = _("search for a plan")
        verbose_name_plural = _("searches for a plan")
        ordering = ["-asked_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["state"], condition=models.Q(state="asked"), name="search_asked_once"
            )
        ]

    def __str__(self) -> str:
        return f"{self.asked_at:%Y-%m-%d %H:%M} {self.state}"

    @property
    def is_under_way(self) -> bool:
        return self.state in {SearchState.ASKED, SearchState.IN_WORK}

    @property
    def may_stop(self) -> bool:
        """Whether there is something that it could be stopped with."""
        return self.state == SearchState.IN_WORK and self.best_at is not None and self.stop_asked_at is None

    @property
    def gap_percent(self) -> int | None:
        """By how many percent a better plan could be better at most; None where nothing is proven."""
        if self.best_bound is None or not self.best_objective:
            return None
        return max(0, math.ceil(100 * (self.best_objective - self.best_bound) / self.best_objective))
