"""Where cars stand."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class Bay(models.Model):
    number = models.PositiveIntegerField(_("number"), unique=True)
    name = models.CharField(_("name"), max_length=60)
    features = models.JSONField(_("features"), default=list, blank=True)
    is_open = models.BooleanField(_("open"), default=True)

    class Meta:
        verbose_name = _("bay")
        verbose_name_plural = _("bays")
        ordering = ["number"]

    def __str__(self) -> str:
        return f"{self.number} {self.name}"
