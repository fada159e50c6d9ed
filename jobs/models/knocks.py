"""How often somebody has knocked of late, counted for the whole shop."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class Knocks(models.Model):
    """Knocks of one sender at one door within its time. No record: swept when the time is over.

    `key` is a hash; from whom it came cannot be read from it.
    """

    key = models.CharField(max_length=100, unique=True)
    count = models.PositiveIntegerField()
    until = models.DateTimeField(db_index=True)

    class Meta:
        verbose_name = _("knocks")
        verbose_name_plural = _("knocks")

    def __str__(self) -> str:
        return f"{self.count} until {self.until:%Y-%m-%d %H:%M}"
