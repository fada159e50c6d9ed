"""A figure lowered for its lubricant: once, by whoever gave it, and never again at the bench."""

from fractions import Fraction
from typing import Final

from shop.engineering.errors import QuantityError
from shop.engineering.joints.tightening import DERATES, Finish, finish_of
from shop.engineering.words import Words
from shop.engineering.words import say as _

# How near to a chart's share a setting must be to be taken for it.
NEAR: Final = Fraction(15, 1000)
_OF_FINISH: Final = {
    Finish.ANTI_SEIZE: ("anti-seize compound",),
    Finish.GREASED: ("grease or heavy oil",),
    Finish.OILED: ("grease or heavy oil", "lubricated threads", "engine oil"),
    Finish.THREADLOCKER: ("lubricated threads",),
    Finish.UNKNOWN: tuple(DERATES),
}


def chart_shares(lubricant: str) -> tuple[Fraction, ...]:
    """What charts multiply a dry torque by for a lubricant; none where it is dry.

    Args:
        lubricant: as an instruction says it.
    Returns: shares of 1, the lowest first.
    Raises: nothing.

    Valid for English words. Source: TM9-6115; TM55-1520; HOUSE (a capscrew chart)
    """
    names = _OF_FINISH.get(finish_of(lubricant), ())
    return tuple(sorted(Fraction(str(DERATES[name])) for name in names))


def lowered_twice(figure: Fraction, dry: Fraction, lubricant: str) -> Words | None:
    """Whether a figure that was lowered from a dry one looks as if it had been lowered more than once.

    Args:
        figure: what is asked; dry: what it was lowered from, one unit, above 0.
        lubricant: that it was lowered for.
    Returns: a warning, or None where a chart lowers it so.
    Raises:
        QuantityError: a torque is not above nothing.

    Valid for charts of dry torques. Source: TM9-6115; TM55-1520; HOUSE (a capscrew chart)
    """
    _require(figure, dry)
    shares, share = chart_shares(lubricant), figure / dry
    percent = round(100 * share)
    if not shares:
        return _(
            "%(lubricant)s is dry: a dry figure is not lowered, and this is %(percent)d %% of it",
            lubricant=lubricant,
            percent=percent,
        )
    if share > 1:
        return _("the figure is above the dry one that it was lowered from")
    if share < shares[0] - NEAR:
        return _(
            "the figure is %(percent)d %% of the dry one, and no chart lowers it below %(least)d %% for "
            "%(lubricant)s: were a derate and a lubricant factor both applied? One of them is enough",
            percent=percent,
            least=round(100 * shares[0]),
            lubricant=lubricant,
        )
    return None


def lowered_again(setting: Fraction, figure: Fraction, lubricant: str) -> Words | None:
    """Whether a setting is the figure lowered for a lubricant that the figure has in it already.

    Args:
        setting: of the wrench; figure: what is asked, one unit, above 0.
        lubricant: that the figure was given for.
    Returns: a warning, or None where the setting is no chart's share of the figure.
    Raises:
        QuantityError: a torque is not above nothing.

    Valid for settings below the figure. Source: TM9-6115; TM55-1520; HOUSE (a capscrew chart)
    """
    _require(setting, figure)
    found = next((s for s in chart_shares(lubricant) if abs(setting / figure - s) <= NEAR), None)
    if found is None:
        return None
    return _(
        "This is the figure times %(share).2f, as charts lower a dry torque for a lubricant. The figure is "
        "for %(lubricant)s already: to lower it again leaves the joint loose. Set what the card says",
        share=float(found),
        lubricant=lubricant,
    )


def _require(*torques: Fraction) -> None:
    if min(torques) <= 0:
        raise QuantityError(_("A torque is above nothing"))
