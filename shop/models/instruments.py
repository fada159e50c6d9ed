"""What the shop measures with, and whether it may be trusted today."""

import datetime as dt

from django.db import models
from django.utils.translation import gettext_lazy as _


class InstrumentKind(models.TextChoices):
    """The words of the procedure file."""

    TAPE = "tape", _("tape")
    STEEL_RULE = "steel_rule", _("steel rule")
    CALIPER = "caliper", _("caliper")
    LEVEL = "level", _("level")
    ANGLE_GAUGE = "angle_gauge", _("angle gauge")
    TORQUE_WRENCH_CLICK = "torque_wrench_click", _("click torque wrench")
    TORQUE_WRENCH_DIAL = "torque_wrench_dial", _("indicating torque wrench")
    ANGLE_METER = "angle_meter", _("tightening-angle meter")
    PRESSURE_GAUGE = "pressure_gauge", _("pressure gauge")
    SCALE = "scale", _("scale")
    FEELER_GAUGE = "feeler_gauge", _("feeler gauge")
    DEPTH_GAUGE = "depth_gauge", _("depth gauge")
    TRAM_GAUGE = "tram_gauge", _("tram gauge")
    THICKNESS_GAUGE = "thickness_gauge", _("thickness gauge")


class Instrument(models.Model):
    """A measuring instrument, its figures kept as its certificate writes them.

    `lever` is a torque wrench's length from the mark of the hand to the square.
    """

    later_fields = frozenset({"lever"})

    code = models.CharField(_("code"), max_length=20, unique=True)
    name = models.CharField(_("name"), max_length=80)
    kind = models.CharField(_("kind"), max_length=30, choices=InstrumentKind.choices)
    unit = models.CharField(_("unit"), max_length=12)
    range_low = models.CharField(_("from"), max_length=30, blank=True)
    range_high = models.CharField(_("to"), max_length=30, blank=True)
    resolution = models.CharField(_("resolution"), max_length=30)
    permissible_error = models.CharField(_("permissible error"), max_length=30)
    lever = models.CharField(_("hand to square"), max_length=30, blank=True)
    is_withdrawn = models.BooleanField(_("withdrawn"), default=False)

    class Meta:
        verbose_name = _("instrument")
        verbose_name_plural = _("instruments")
        ordering = ["code"]

    def __str__(self) -> str:
        return f"{self.code} {self.name}"

    def calibration(self, *, on: dt.date) -> "Calibration | None":
        """The newest calibration known on that day."""
        done = [c for c in self.calibrations.all() if c.done_on <= on]
        return max(done, key=lambda c: (c.done_on, c.pk), default=None)

    def next_calibration(self, *, on: dt.date) -> "Calibration | None":
        """The first calibration after that day, which says whether it was still good then."""
        later = [c for c in self.calibrations.all() if c.done_on > on]
        return min(later, key=lambda c: (c.done_on, c.pk), default=None)

    def is_in_calibration(self, *, on: dt.date) -> bool:
        newest = self.calibration(on=on)
        return not self.is_withdrawn and newest is not None and newest.passed and on <= newest.due_on


class CalibrationWay(models.TextChoices):
    CERTIFICATE = "certificate", _("certificate")
    REFERENCE_RULE = "reference_rule", _("checked against the shop's reference rule")


class Calibration(models.Model):
    """One check of an instrument: when, how, how long it holds."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="calibrations")
    done_on = models.DateField(_("done on"))
    due_on = models.DateField(_("due on"))
    way = models.CharField(_("how"), max_length=20, choices=CalibrationWay.choices)
    certificate = models.CharField(_("certificate"), max_length=60, blank=True)
    expanded_uncertainty = models.CharField(_("expanded uncertainty (k = 2)"), max_length=30, blank=True)
    passed = models.BooleanField(_("good"), default=True)

    class Meta:
        verbose_name = _("calibration")
        verbose_name_plural = _("calibrations")
        ordering = ["instrument", "done_on"]

    def __str__(self) -> str:
        return f"{self.instrument.code} {self.done_on:%Y-%m-%d}"
