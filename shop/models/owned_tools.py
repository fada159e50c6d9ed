"""What the shop works with: drills, hole saws, machines that turn them, extensions of a torque wrench."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class ToolKind(models.TextChoices):
    DRILL = "drill", _("drill")
    HOLE_SAW = "hole_saw", _("hole saw")
    SPOT_WELD_CUTTER = "spot_weld_cutter", _("spot-weld cutter")
    MACHINE = "machine", _("drilling machine")
    EXTENSION = "extension", _("extension or crowfoot of a torque wrench")


class ToolMaterial(models.TextChoices):
    HSS = "hss", _("high-speed steel")
    COBALT = "cobalt", _("cobalt steel")
    BI_METAL = "bi_metal", _("bi-metal")


class Tool(models.Model):
    """A tool, its figures kept as people write them.

    `size` is a drill's or saw's diameter as it is stamped (1/4, #7, F, 6.8 mm), or how far an extension
    reaches from square to nut. `speeds` are a machine's turns a minute: 400, 800, or 100…850 without steps.
    """

    code = models.CharField(_("code"), max_length=20, unique=True)
    name = models.CharField(_("name"), max_length=80)
    kind = models.CharField(_("kind"), max_length=20, choices=ToolKind.choices)
    size = models.CharField(_("size"), max_length=30, blank=True)
    material = models.CharField(_("material"), max_length=12, blank=True, choices=ToolMaterial.choices)
    speeds = models.CharField(_("speeds, turns a minute"), max_length=160, blank=True)
    is_withdrawn = models.BooleanField(_("withdrawn"), default=False)

    class Meta:
        verbose_name = _("tool")
        verbose_name_plural = _("tools")
        ordering = ["kind", "code"]

    def __str__(self) -> str:
        return f"{self.code} {self.name}"
