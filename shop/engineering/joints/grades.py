"""How strong a bolt is, by its grade or class and its diameter."""

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from shop.engineering.errors import QuantityError
from shop.engineering.joints.threads import Thread
from shop.engineering.words import say as _

KSI_MPA: Final = 6.894757293168361
LBF_N: Final = 4.4482216152605


@dataclass(frozen=True)
class Strength:
    """Least strengths, MPa: proof (no lasting stretch), yield, tensile."""

    proof_mpa: float
    yield_mpa: float
    tensile_mpa: float
    source: str


# Grade: up to which diameter in inches: proof, yield, tensile in ksi.
_SAE: Final = {
    "1": (("3/2", 33, 36, 60),),
    "2": (("3/4", 55, 57, 74), ("3/2", 33, 36, 60)),
    "5": (("1", 85, 92, 120), ("3/2", 74, 81, 105)),
    "5.2": (("1", 85, 92, 120),),
    "7": (("3/2", 105, 115, 133),),
    "8": (("3/2", 120, 130, 150),),
    "8.2": (("1", 120, 130, 150),),
}
# Class: up to which diameter in mm: proof, yield, tensile in MPa. 16 mm belongs to the lower band of 8.8.
_ISO: Final = {
    "4.6": ((39, 225, 240, 400),),
    "4.8": ((39, 310, 340, 420),),
    "5.6": ((39, 280, 300, 500),),
    "5.8": ((39, 380, 420, 520),),
    "6.8": ((39, 440, 480, 600),),
    "8.8": ((16, 580, 640, 800), (39, 600, 660, 830)),
    "9.8": ((16, 650, 720, 900),),
    "10.9": ((39, 830, 940, 1040),),
    "12.9": ((39, 970, 1100, 1220),),
}
# The smallest bolt that the tables are for, inches and mm.
_SMALLEST: Final = (Fraction(1, 4), Fraction(16, 10))


def strength_of(grade: str, thread: Thread) -> Strength:
    """The strengths of a bolt.

    Args:
        grade: SAE grade `1` to `8.2`, or ISO property class `4.6` to `12.9`, with or without a word before.
        thread: its thread; the band hangs on the diameter.
    Returns: the strengths.
    Raises:
        QuantityError: unknown grade, an SAE grade on a metric bolt or a class on an inch bolt, too small or
            too large for the table.

    Valid for 1/4 to 1 1/2 in and M1.6 to M39.
    Source: SAE-J429; ISO898-1; SHIGLEY (grades 1, 5.2, 7, 8.2 as its table
    of SAE specifications prints them); HOUSE (classes below 8.8 from memory of ISO 898-1)
    """
    name = grade.strip().lower()
    for word in ("sae", "iso", "grade", "class", "gr."):
        name = name.removeprefix(word).strip()
    if name in _SAE:
        if not thread.is_inch:
            raise QuantityError(
                _("Grade %(grade)s is for inch bolts, %(thread)s is metric: read the class on its head",
                  grade=name, thread=thread)
            )  # fmt: skip
        return _band(_SAE[name], thread.major_in, KSI_MPA, "SAE J429", name)
    if name in _ISO:
        if thread.is_inch:
            raise QuantityError(
                _("Class %(grade)s is for metric bolts; %(thread)s is inch: count the lines on its head",
                  grade=name, thread=thread)
            )  # fmt: skip
        return _band(_ISO[name], thread.major_mm, 1, "ISO 898-1:2013", name)
    known = ", ".join((*_SAE, *_ISO))
    raise QuantityError(
        _("No bolt of grade %(grade)s is in the tables; they have %(known)s", grade=name, known=known)
    )


def _band(
    bands: tuple[tuple[str | int, float, float, float], ...],
    diameter: Fraction,
    unit_mpa: float,
    source: str,
    name: str,
) -> Strength:
    if diameter < _SMALLEST[unit_mpa == 1]:
        raise QuantityError(
            _("The tables of strength begin at 1/4 in and M1.6: follow the kit maker's figure")
        )
    for up_to, proof, yields, tensile in bands:
        if diameter <= Fraction(up_to):
            return Strength(proof * unit_mpa, yields * unit_mpa, tensile * unit_mpa, source)
    raise QuantityError(
        _(
            "The tables know no bolt of grade %(grade)s above %(size)s %(unit)s",
            grade=name,
            size=bands[-1][0],
            unit="mm" if unit_mpa == 1 else "in",
        )
    )


def proof_load_n(thread: Thread, strength: Strength) -> float:
    """The load that leaves no lasting stretch, N: proof strength on the stress area.

    Args:
        thread: of the bolt.
        strength: of the bolt.

    Valid for bolts in tension. Source: SAE-J429; ISO898-1
    """
    return strength.proof_mpa * thread.stress_area_mm2


def yield_load_n(thread: Thread, strength: Strength) -> float:
    """The load at which the bolt begins to stay stretched, N.

    Args:
        thread: of the bolt.
        strength: of the bolt.

    Valid for bolts in tension. Source: SAE-J429; ISO898-1
    """
    return strength.yield_mpa * thread.stress_area_mm2


def tensile_load_n(thread: Thread, strength: Strength) -> float:
    """The least load at which it breaks, N.

    Args:
        thread: of the bolt.
        strength: of the bolt.

    Valid for bolts in tension. Source: SAE-J429; ISO898-1
    """
    return strength.tensile_mpa * thread.stress_area_mm2
