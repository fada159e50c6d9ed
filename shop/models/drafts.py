"""What is being written in the browser, of whatever kind: every change a version of its text."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _


class WrittenDraft(models.Model):
    """A revision to come; closed when it was kept as a revision or thrown away. Its versions are its text.

    A model of it says to which `stream` its events go, and under which `word` they are told there.
    """

    word = ""

    revision = models.CharField(_("revision"), max_length=10)
    closed_at = models.DateTimeField(_("closed at"), null=True, blank=True)

    class Meta:
        abstract = True

    @property
    def stream(self) -> str:
        raise NotImplementedError


class WrittenVersion(models.Model):
    """The whole text of a draft after one change; the newest counts, the older ones are kept."""

    is_evidence = True

    number = models.PositiveIntegerField(_("version"))
    text = models.TextField(_("text"))
    what = models.CharField(_("change"), max_length=200)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(_("at"))

    class Meta:
        abstract = True
