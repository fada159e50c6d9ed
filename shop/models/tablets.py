"""The tablets of the bays. A tablet's credential is one thing, a person's turn at it another."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from shop.models.bays import Bay


class Tablet(models.Model):
    """A device that stands in a bay; only the hash of its credential is kept."""

    name = models.CharField(_("name"), max_length=60)
    bay = models.ForeignKey(Bay, on_delete=models.PROTECT, related_name="tablets")
    token_hash = models.CharField(max_length=64, unique=True, editable=False)
    assigned_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    assigned_at = models.DateTimeField(_("assigned at"))
    revoked_at = models.DateTimeField(_("revoked at"), null=True, blank=True)

    class Meta:
        verbose_name = _("tablet")
        verbose_name_plural = _("tablets")
        ordering = ["bay", "assigned_at"]

    def __str__(self) -> str:
        return self.name


class TabletCode(models.Model):
    """A one-time code by which whoever stands at a device makes it the tablet of a bay."""

    name = models.CharField(_("name"), max_length=60)
    bay = models.ForeignKey(Bay, on_delete=models.PROTECT, related_name="tablet_codes")
    code_hash = models.CharField(max_length=64, unique=True, editable=False)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(_("made at"))
    expires_at = models.DateTimeField(_("holds until"))
    used_at = models.DateTimeField(_("used at"), null=True, blank=True)
    tablet = models.OneToOneField(
        Tablet, on_delete=models.PROTECT, null=True, blank=True, related_name="made_by_code"
    )

    class Meta:
        verbose_name = _("tablet code")
        verbose_name_plural = _("tablet codes")
        ordering = ["-made_at"]

    def __str__(self) -> str:
        return f"{self.name} {self.made_at:%Y-%m-%d %H:%M}"


class Turn(models.Model):
    """A person at work at a tablet, from signing in with a PIN until signing out."""

    tablet = models.ForeignKey(Tablet, on_delete=models.PROTECT, related_name="turns")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="turns")
    started_at = models.DateTimeField(_("started at"))
    ended_at = models.DateTimeField(_("ended at"), null=True, blank=True)

    class Meta:
        verbose_name = _("turn")
        verbose_name_plural = _("turns")
        ordering = ["-started_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["tablet"], condition=models.Q(ended_at__isnull=True), name="one_turn_at_a_tablet"
            )
        ]

    def __str__(self) -> str:
        return f"{self.person} {self.tablet}"


class WrongPin(models.Model):
    """A wrong PIN, password or code that somebody gave at a place; too many are held back for a while.

    Without a person where nobody has the name that was typed, or none was asked for.
    """

    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, null=True, blank=True, related_name="+"
    )
    place = models.CharField(max_length=40)
    given_at = models.DateTimeField()
    address = models.CharField(max_length=45, blank=True)

    class Meta:
        verbose_name = _("wrong PIN")
        verbose_name_plural = _("wrong PINs")
        indexes = [
            models.Index(fields=["person", "place", "given_at"], name="wrong_pin_lookup"),
            models.Index(fields=["address", "given_at"], name="wrong_pin_address"),
        ]

    def __str__(self) -> str:
        return f"{self.person} {self.given_at:%Y-%m-%d %H:%M}"
