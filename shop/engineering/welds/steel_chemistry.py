"""Carbon equivalents: how ready a steel is to harden beside a weld. A warning band, never a rule."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from shop.engineering.errors import QuantityError
from shop.engineering.words import Words
from shop.engineering.words import say as _

# Published pages put the step at 0.35, 0.40 or 0.45: these are the first and the last.
WATCH_FROM, WARN_FROM = 0.35, 0.45
ELEMENTS: Final = ("C", "Si", "Mn", "Cr", "Mo", "V", "Ni", "Cu", "B")


@dataclass(frozen=True)
class HardeningBand:
    """What a carbon equivalent asks one to mind."""

    warns: bool
    words: Words


def carbon_equivalent(percent: Mapping[str, float]) -> float:
    """CE of the International Institute of Welding.

    Args:
        percent: by mass, by the element's sign; what is missing counts as none.
    Returns: percent.
    Raises:
        QuantityError: no share of carbon, an unknown sign, a share below nothing or together above 100.

    Valid for carbon steels above about 0.18 % carbon. Source: EN1011-2 (C.2, from IIW)
    """
    x = _shares(percent)
    return x["C"] + x["Mn"] / 6 + (x["Cr"] + x["Mo"] + x["V"]) / 5 + (x["Ni"] + x["Cu"]) / 15


def cracking_parameter(percent: Mapping[str, float]) -> float:
    """Pcm of Ito and Bessyo.

    Args:
        percent: by mass, by the element's sign; what is missing counts as none.
    Returns: percent.
    Raises:
        QuantityError: no share of carbon, an unknown sign, a share below nothing or together above 100.

    Valid for low-carbon, low-alloy steels. Source: ITO-BESSYO
    """
    x = _shares(percent)
    return (
        x["C"] + x["Si"] / 30 + (x["Mn"] + x["Cu"] + x["Cr"]) / 20
        + x["Ni"] / 60 + x["Mo"] / 15 + x["V"] / 10 + 5 * x["B"]
    )  # fmt: skip


def hardening_band(equivalent: float) -> HardeningBand:
    """What to mind at a carbon equivalent.

    Args:
        equivalent: CE(IIW), percent.
    Returns: the band. Thickness, hydrogen and restraint decide, so it never approves.

    Valid as a warning. Source: HOUSE (published steps at 0.35, 0.40 and 0.45 disagree)
    """
    if equivalent < WATCH_FROM:
        return HardeningBand(
            False, _("below every published step; thick or restrained parts may still crack")
        )
    if equivalent < WARN_FROM:
        return HardeningBand(True, _("published steps disagree here: ask the lead whether to preheat"))
    return HardeningBand(True, _("hardens beside the weld: preheat and a qualified procedure, or no weld"))


def _shares(percent: Mapping[str, float]) -> dict[str, float]:
    unknown = [sign for sign in percent if sign not in ELEMENTS]
    if unknown:
        raise QuantityError(_("%(sign)s is none of: %(known)s", sign=unknown[0], known=", ".join(ELEMENTS)))
    if not percent.get("C"):
        raise QuantityError(_("Say how much carbon there is"))
    if not all(share >= 0 for share in percent.values()) or sum(percent.values()) > 100:
        raise QuantityError(_("Shares are from 0 to 100 percent"))
    return {sign: percent.get(sign, 0.0) for sign in ELEMENTS}
