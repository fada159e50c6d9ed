"""When somebody or a bay is not there to be planned with."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from shop.models.bays import Bay


class Absence(models.Model):
    """Somebody is away, the first and the last day included."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="absences")
    first_day = models.DateField(_("first day"))
    last_day = models.DateField(_("last day"))
    note = models.CharField(_("note"), max_length=120, blank=True)

    class Meta:
        verbose_name = _("absence")
        verbose_name_plural = _("absences")
        ordering = ["first_day", "person"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(last_day__gte=models.F("first_day")), name="absence_ends_after_it_begins"
            )
        ]

    def __str__(self) -> str:
        return f"{self.person} {self.first_day:%Y-%m-%d}"


class BayClosure(models.Model):
    """A bay cannot be used, the first and the last day included."""

    bay = models.ForeignKey(Bay, on_delete=models.CASCADE, related_name="closures")
    first_day = models.DateField(_("first day"))
    last_day = models.DateField(_("last day"))
    reason = models.CharField(_("reason"), max_length=120)

    class Meta:
        verbose_name = _("bay closure")
        verbose_name_plural = _("bay closures")
        ordering = ["first_day", "bay"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(last_day__gte=models.F("first_day")), name="closure_ends_after_it_begins"
            )
        ]

    def __str__(self) -> str:
        return f"{self.bay} {self.first_day:%Y-%m-%d}"
