"""The record: entries from the floor, and the chain of events that every change writes."""

import uuid

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from shop.models.tablets import Tablet


class Outcome(models.TextChoices):
    """What became of an entry."""

    ACCEPTED = "accepted", _("accepted")
    CONFLICT = "conflict", _("something else was entered first")
    REFUSED = "refused", _("refused")


class SignedHow(models.TextChoices):
    TURN = "turn", _("in a turn at the tablet")
    PIN = "pin", _("by PIN")
    DESK = "desk", _("signed in at a desk")
    LOADED = "loaded", _("loaded from a file")
    LINK = "link", _("by the customer, through a private link")
    PAPER = "paper", _("written by hand on paper, typed in later")


class Entry(models.Model):
    """Something recorded from the floor, with the identity its client gave it.

    Never changed: `digest` is over all that the client sent, `answer` is what it was told. What is
    personal of it stands in `personal` alone, so that it can be erased.
    """

    is_evidence = True
    personal_fields = frozenset({"personal"})

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    stream = models.CharField(max_length=60)
    subject = models.CharField(max_length=40, blank=True)
    saw = models.ForeignKey("self", on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    kind = models.CharField(_("kind"), max_length=30)
    payload = models.JSONField(_("payload"))
    personal = models.JSONField(_("personal data"), default=dict, blank=True)
    entered_at = models.DateTimeField(_("entered at"))
    received_at = models.DateTimeField(_("received at"))
    signer = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="entries")
    signed_how = models.CharField(_("signed"), max_length=10, choices=SignedHow.choices)
    tablet = models.ForeignKey(
        Tablet, on_delete=models.PROTECT, null=True, blank=True, related_name="entries"
    )
    digest = models.CharField(max_length=64)
    outcome = models.CharField(_("outcome"), max_length=10, choices=Outcome.choices)
    answer = models.JSONField(_("answer"), default=dict)
    position = models.PositiveBigIntegerField(_("position in its stream"))

    class Meta:
        verbose_name = _("entry")
        verbose_name_plural = _("entries")
        ordering = ["stream", "position"]
        constraints = [models.UniqueConstraint(fields=["stream", "position"], name="entry_position_once")]
        indexes = [models.Index(fields=["stream", "subject", "-position"], name="entry_subject_last")]

    def __str__(self) -> str:
        return f"{self.stream} {self.subject} {self.kind}"


class StreamHead(models.Model):
    """The end of a stream's chain; taken first by whoever adds to it."""

    stream = models.CharField(max_length=60, unique=True)
    sequence = models.PositiveBigIntegerField(default=0)
    hash = models.CharField(max_length=64, blank=True)

    class Meta:
        verbose_name = _("stream head")
        verbose_name_plural = _("stream heads")
        ordering = ["stream"]

    def __str__(self) -> str:
        return f"{self.stream} {self.sequence}"


class Event(models.Model):
    """One change, chained by hash to the one before it in its stream."""

    stream = models.CharField(_("stream"), max_length=60)
    sequence = models.PositiveBigIntegerField(_("number"))
    kind = models.CharField(_("kind"), max_length=40)
    recorded_at = models.DateTimeField(_("recorded at"))
    entry = models.ForeignKey(Entry, on_delete=models.PROTECT, null=True, blank=True, related_name="events")
    payload = models.BinaryField()
    previous_hash = models.CharField(max_length=64, blank=True)
    hash = models.CharField(max_length=64)

    class Meta:
        verbose_name = _("event")
        verbose_name_plural = _("events")
        ordering = ["stream", "sequence"]
        constraints = [models.UniqueConstraint(fields=["stream", "sequence"], name="event_sequence_once")]

    def __str__(self) -> str:
        return f"{self.stream} {self.sequence} {self.kind}"
