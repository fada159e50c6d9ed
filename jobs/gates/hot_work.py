"""What goes for every piece of hot work on a car: said where it applies, local code and the maker first."""

from django.utils.translation import gettext as _

from jobs.models import Flag
from jobs.record import OperationStanding
from shop.engineering.welds.hot_work import (
    CLEAR_FT,
    DEFERS,
    FUME_FEVER_H,
    MODULES_MM,
    STRIP_BACK_IN,
    ZINC_LIMIT_MG_M3,
    cables_off,
    work_clamp,
)
from shop.models import ShopSettings


def hot_work_cautions(operation: OperationStanding, settings: ShopSettings) -> tuple[str, ...]:
    """The cautions of an operation with hot work; none for another."""
    if not operation.does(Flag.HOT_WORK):
        return ()
    figures = {
        "feet": CLEAR_FT, "strip": STRIP_BACK_IN, "zinc": f"{ZINC_LIMIT_MG_M3:.0f}",
        "from": FUME_FEVER_H[0], "to": FUME_FEVER_H[1], "modules": MODULES_MM,
        "cables": cables_off().translated(_), "clamp": work_clamp().translated(_),
        "minutes": settings.watch_minutes, "source": settings.watch_by,
    }  # fmt: skip
    texts = (
        _("Fuel: lines capped and the tank shut; what burns is taken away or shielded within %(feet)d ft."),
        _(
            "Electronics: battery cables off, %(cables)s; modules within %(modules)d mm of the weld out; "
            "work clamp %(clamp)s."
        ),
        _(
            "Zinc: strip coatings back %(strip)d in, extract at the joint. Limit for zinc oxide fume "
            "%(zinc)s mg/m³; fume fever lasts %(from)d to %(to)d hours."
        ),
        _("Rails and boxed sections hold wax, vapour and heat: look into them and feel the far side."),
        _("Eyes, ears and lungs: helmet or goggles, ear protection when grinding, a mask under the helmet."),
        _(
            "Fire watch: %(minutes)d minutes from the last spark by %(source)s. "
            "Whoever watches does nothing else."
        ),
        _("Only people who are qualified for it weld structure."),
    )
    return (*(text % figures for text in texts), _(DEFERS))
