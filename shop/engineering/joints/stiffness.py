"""How a bolt and what it clamps give way: springs in series, and what a turn of the nut does to them."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from shop.engineering.errors import QuantityError
from shop.engineering.joints.grades import Strength, proof_load_n, tensile_load_n, yield_load_n
from shop.engineering.joints.threads import Thread
from shop.engineering.joints.tightening import Clamp
from shop.engineering.words import Words
from shop.engineering.words import say as _

STEEL_MPA: Final = 207_000.0
CONE: Final = 0.5774  # tangent of 30°
# The fit of Wileman and others: km = E d A exp(B d / l). Steel, aluminium, cast iron.
WILEMAN: Final = {
    "steel": (0.78715, 0.62873),
    "aluminium": (0.79670, 0.63816),
    "cast iron": (0.77871, 0.61616),
}


def bolt_stiffness(
    shank_area: float, shank: float, stress_area: float, threaded: float, modulus: float
) -> float:
    """How many N a bolt takes for each mm of stretch: kb = Ad At E / (Ad lt + At ld).

    Args:
        shank_area: of the plain shank, mm²; shank: its length in the grip, mm.
        stress_area: of the thread, mm²; threaded: its length in the grip, mm.
        modulus: MPa.
    Returns: N/mm; in inches and psi it is lbf/in.
    Raises:
        QuantityError: an area or modulus is not above nothing, or no length is.

    Valid in the elastic range. Source: SHIGLEY 8-17
    """
    if min(shank_area, stress_area, modulus) <= 0 or min(shank, threaded) < 0 or shank + threaded <= 0:
        raise QuantityError(_("Areas, lengths and modulus are above nothing"))
    return shank_area * stress_area * modulus / (shank_area * threaded + stress_area * shank)


def frustum_stiffness(modulus: float, hole: float, face: float, thickness: float) -> float:
    """How stiff a cone of pressed metal is: 30°, from a face of diameter `face`.

    Args:
        modulus: MPa; hole: diameter, mm; face: of the bearing face, mm; thickness: mm.
    Returns: N/mm.
    Raises:
        QuantityError: the face is not larger than the hole, or something is not above nothing.

    Valid for washer-faced joints. Source: SHIGLEY 8-20
    """
    if min(modulus, hole, thickness) <= 0 or face <= hole:
        raise QuantityError(_("The bearing face is larger than the hole, and both above nothing"))
    spread = 2 * CONE * thickness
    ratio = ((spread + face - hole) * (face + hole)) / ((spread + face + hole) * (face - hole))
    return CONE * math.pi * modulus * hole / math.log(ratio)


def in_series(stiffnesses: Iterable[float]) -> float:
    """Springs one after the other: 1/k is the sum of all 1/k. All above 0.

    Args:
        stiffnesses: each above 0.

    Valid for springs in series. Source: SHIGLEY 8-18
    """
    return 1 / sum(1 / each for each in stiffnesses)


def member_stiffness(modulus: float, diameter: float, grip: float) -> float:
    """Plates of one metal under a washer face of 1.5 d, by cones of 30°.

    Args:
        modulus: MPa; diameter: nominal, mm; grip: mm; above 0.
    Returns: N/mm.
    Raises:
        QuantityError: one of them is not above nothing.

    Valid for members wider than the cones. Source: SHIGLEY 8-22
    """
    if min(modulus, diameter, grip) <= 0:
        raise QuantityError(_("Modulus, diameter and grip are above nothing"))
    inner = 5 * (CONE * grip + 0.5 * diameter) / (CONE * grip + 2.5 * diameter)
    return CONE * math.pi * modulus * diameter / (2 * math.log(inner))


def fitted_member_stiffness(modulus: float, diameter: float, grip: float, metal: str) -> float:
    """The same by a fit to finite elements: km = E d A exp(B d / l). Range and errors as `member_stiffness`.

    Args:
        modulus: MPa, above 0.
        diameter: nominal, above 0.
        grip: thickness clamped, mm, above 0.
        metal: steel, aluminium or cast iron.

    Valid for one metal. Source: SHIGLEY 8-23 (after Wileman, Choudury and Green)
    """
    if min(modulus, diameter, grip) <= 0 or metal not in WILEMAN:
        raise QuantityError(_("Say steel, aluminium or cast iron, and sizes above nothing"))
    a, b = WILEMAN[metal]
    return modulus * diameter * a * math.exp(b * diameter / grip)


def joint_share(bolt: float, members: float) -> float:
    """Which share of an outer load the bolt takes: C = kb / (kb + km). Both above 0.

    Args:
        bolt: stiffness of the bolt, N/mm, above 0.
        members: stiffness of the clamped parts, N/mm, above 0.

    Valid for joints that stay closed. Source: SHIGLEY 8-24
    """
    return bolt / (bolt + members)


def load_by_turn(thread: Thread, degrees: float, bolt: float, members: float) -> float:
    """The load that a turn from snug adds: P θ / 360 over both springs.

    Args:
        thread: of the bolt.
        bolt: stiffness of the bolt, N/mm, above 0.
        degrees: turned, 0 or more; bolt, members: N/mm, above 0.
    Returns: N.
    Raises:
        QuantityError: the turn is below nothing.

    Valid in the elastic range. Source: SHIGLEY 8-4
    """
    if not 0 <= degrees < 3600:
        raise QuantityError(_("A nut is turned on, from 0° to a few turns"))
    return thread.advance_mm(degrees) * in_series([bolt, members])


def turn_for_load(thread: Thread, load_n: float, bolt: float, members: float) -> float:
    """The turn from snug for a load, degrees. Inverse of `load_by_turn`.

    Args:
        thread: of the bolt.
        load_n: N.
        bolt: stiffness of the bolt, N/mm, above 0.
        members: stiffness of the clamped parts, N/mm, above 0.

    Valid for the elastic range. Source: SHIGLEY 8-4
    """
    return 360 * load_n / (in_series([bolt, members]) * float(thread.pitch_mm))


@dataclass(frozen=True)
class Turned:
    """What torque and then angle leave in a bolt.

    Attributes:
        low_n, high_n: what an elastic bolt would be loaded with; it stops at its yield load.
        proof_n, yield_n, tensile_n: of the bolt.
        turn_n: what the angle alone adds.
        beyond_mm: how far it would be stretched beyond its elastic limit, at most.
    """

    low_n: float
    high_n: float
    proof_n: float
    yield_n: float
    tensile_n: float
    turn_n: float
    beyond_mm: float

    @property
    def stays_elastic(self) -> bool:
        return self.high_n <= self.yield_n

    @property
    def sentence(self) -> Words:
        low, high = round(100 * self.low_n / self.proof_n), round(100 * self.high_n / self.proof_n)
        if self.stays_elastic:
            return _(
                "The turn brings the bolt to %(low)d to %(high)d %% of its proof load: it stays elastic",
                low=low,
                high=high,
            )
        return _(
            "The turn takes the bolt past its yield point, by up to %(beyond).2f mm. Made so on purpose it "
            "holds evenly, and it is used once: never turn it again; a loosened one is replaced",
            beyond=self.beyond_mm,
        )


def after_turning(
    snug: Clamp, thread: Thread, strength: Strength, degrees: float, *, bolt: float, members: float
) -> Turned:
    """What a bolt bears after a torque and then an angle, such as 20 lbf·ft and 180°.

    Args:
        thread: of the bolt.
        strength: of the bolt.
        bolt: stiffness of the bolt, N/mm, above 0.
        snug: the clamp range of the torque; degrees: turned after it; bolt, members: N/mm.
    Returns: the range, whether it stays elastic, and by how much it does not.
    Raises:
        QuantityError: the turn is below nothing.

    Valid for what the stiffnesses are valid for. Source: SHIGLEY 8-4
    """
    turn = load_by_turn(thread, degrees, bolt, members)
    limit, high = yield_load_n(thread, strength), snug.high_n + turn
    beyond = max(0.0, high - limit) / in_series([bolt, members])
    proof, breaks = proof_load_n(thread, strength), tensile_load_n(thread, strength)
    return Turned(snug.low_n + turn, high, proof, limit, breaks, turn, beyond)


def structural_turn(length: float, diameter: float) -> int:
    """The turn from snug that structural practice asks, faces flat.

    Args:
        length: of the bolt, in the unit of its diameter.
        length, diameter: of the bolt, one unit, above 0.
    Returns: degrees: a third of a turn to 4 d, a half to 8 d, two thirds to 12 d.
    Raises:
        QuantityError: longer than 12 d, which is to be tried out.

    Valid for A325 and A490 bolts alone, none of which is in a car. Source: RCSC (turn-of-nut table)
    """
    if min(length, diameter) <= 0 or length > 12 * diameter:
        raise QuantityError(_("The table ends at bolts of twelve diameters"))
    return 120 if length <= 4 * diameter else 180 if length <= 8 * diameter else 240
