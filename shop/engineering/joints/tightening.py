"""What a torque does to a bolt: a clamp load that is always a range, never one number."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from shop.engineering.errors import QuantityError
from shop.engineering.joints.grades import Strength, proof_load_n, yield_load_n
from shop.engineering.joints.threads import Thread
from shop.engineering.words import Words
from shop.engineering.words import say as _

REUSED, PERMANENT = 0.75, 0.90  # of proof load; Shigley, equation 8-31


class Finish(StrEnum):
    """What is between thread and thread."""

    BLACK_DRY = "black or plain, dry"
    ZINC_DRY = "zinc-plated, dry"
    OILED = "oiled"
    GREASED = "greased"
    ANTI_SEIZE = "anti-seize"
    THREADLOCKER = "threadlocker, wet"
    STAINLESS_DRY = "stainless on stainless, dry"
    UNKNOWN = "not known"


@dataclass(frozen=True)
class NutFactor:
    """K in T = K D F as published means differ; a range with what it comes from."""

    low: float
    high: float
    source: str


NUT_FACTORS: Final = {
    Finish.BLACK_DRY: NutFactor(0.18, 0.30, "maker 0.18 to 0.27; Shigley table 8-15 0.30; Bickford 0.20"),
    Finish.ZINC_DRY: NutFactor(0.17, 0.35, "maker 0.17 to 0.35; Shigley table 8-15 0.20; Bickford 0.295"),
    Finish.OILED: NutFactor(0.14, 0.22, "charts 0.15, Shigley table 8-15 0.18, each with 25 % of scatter"),
    Finish.GREASED: NutFactor(0.12, 0.20, "Shigley table 8-15 0.16 (from memory) with 25 % of scatter"),
    Finish.ANTI_SEIZE: NutFactor(0.09, 0.16, "Shigley table 8-15 0.12 with 25 % of scatter"),
    Finish.THREADLOCKER: NutFactor(0.13, 0.22, "from memory; the maker's sheet comes first"),
    Finish.STAINLESS_DRY: NutFactor(0.30, 0.50, "maker 0.30 to 0.50"),
    Finish.UNKNOWN: NutFactor(0.12, 0.35, "all of the others but stainless"),
}
# Single published means, so that a chart can be followed: Shigley table 8-15.
SHIGLEY_K: Final = {
    "non-plated, black finish": 0.30, "zinc-plated": 0.20, "lubricated": 0.18, "cadmium-plated": 0.16,
    "anti-seize compound": 0.12, "bowman-grip nuts": 0.09, "condition unknown": 0.20,
}  # fmt: skip
# What charts multiply a dry torque by. They disagree by nearly two, and only one may ever be applied.
DERATES: Final = {
    "anti-seize compound": 0.55, "grease or heavy oil": 0.60, "lubricated threads": 0.70,
    "new plated capscrew": 0.80, "engine oil": 0.90,
}  # fmt: skip


@dataclass(frozen=True)
class Clamp:
    """The clamp load of a joint, N, with what it is of the bolt's proof and yield load.

    Attributes:
        low_n, high_n: for the highest and the lowest nut factor of the finish.
        proof_n, yield_n: what the bolt bears.
        source: of the nut factor.
    """

    low_n: float
    high_n: float
    proof_n: float
    yield_n: float
    source: str

    @property
    def low_percent(self) -> float:
        return 100 * self.low_n / self.proof_n

    @property
    def high_percent(self) -> float:
        return 100 * self.high_n / self.proof_n

    @property
    def may_yield(self) -> bool:
        return self.high_n > self.yield_n

    @property
    def sentence(self) -> Words:
        parts = {
            "low": f"{self.low_n / 1000:.1f}", "high": f"{self.high_n / 1000:.1f}",
            "low_share": round(self.low_percent), "high_share": round(self.high_percent),
        }  # fmt: skip
        if self.may_yield:
            return _(
                "Clamps with %(low)s to %(high)s kN, %(low_share)d to %(high_share)d %% of the bolt's "
                "proof load: at the upper end it stays stretched. The kit maker's figure is the instruction; "
                "ask before tightening if finish or grade are not those that it was given for",
                **parts,
            )
        return _(
            "Clamps with %(low)s to %(high)s kN, %(low_share)d to %(high_share)d %% of the bolt's proof "
            "load. The kit maker's figure is the instruction; this says what it does",
            **parts,
        )


def clamp_load(torque_nm: float, thread: Thread, strength: Strength, finish: Finish) -> Clamp:
    """The range of clamp load that a torque gives: F = T / (K D).

    Args:
        thread: of the bolt.
        torque_nm: what arrives at the nut, prevailing torque taken off, N·m, above 0.
        thread, strength: of the bolt.
        finish: what is between the threads.
    Returns: the range.
    Raises:
        QuantityError: the torque is not above nothing.

    Valid for torque control up to yield. Source: SHIGLEY 8-27; HOUSE (ranges of K in `NUT_FACTORS`)
    """
    if not 0 < torque_nm < 1e6:
        raise QuantityError(_("A torque is above nothing"))
    factor, diameter_m = NUT_FACTORS[finish], float(thread.major_mm) / 1000
    return Clamp(
        torque_nm / (factor.high * diameter_m),
        torque_nm / (factor.low * diameter_m),
        proof_load_n(thread, strength),
        yield_load_n(thread, strength),
        factor.source,
    )


def torque_for_nm(clamp_n: float, thread: Thread, nut_factor: float) -> float:
    """The torque for a clamp load at one nut factor, as charts print it: T = K D F.

    Args:
        thread: of the bolt.
        clamp_n: N; nut_factor: K; both above 0.
    Returns: N·m.
    Raises:
        QuantityError: one of them is not above nothing.

    Valid up to yield. Source: SHIGLEY 8-27 (never the instruction: that is the kit maker's figure)
    """
    if clamp_n <= 0 or nut_factor <= 0:
        raise QuantityError(_("Clamp load and nut factor are above nothing"))
    return nut_factor * float(thread.major_mm) / 1000 * clamp_n


def recommended_clamp_n(thread: Thread, strength: Strength, *, reused: bool = True) -> float:
    """What books recommend: 75 % of proof load where the joint is opened again, 90 % where it is not.

    Args:
        thread: of the bolt.
        strength: of the bolt.
        reused: whether the joint is opened again.

    Valid for bolts of a known grade. Source: SHIGLEY 8-31
    """
    return (REUSED if reused else PERMANENT) * proof_load_n(thread, strength)


def finish_of(words: str) -> Finish:
    """The finish that an instruction's words mean; not known where they say nothing that is.

    Args:
        words: such as `clean, dry`, `30-weight oil`, `anti-seize`, `medium threadlocker`.
    Returns: the finish.
    Raises: nothing.

    Valid for English words. Source: HOUSE
    """
    said = words.lower()
    for finish, signs in (
        (Finish.ANTI_SEIZE, ("anti-seize", "antiseize", "anti seize")),
        (Finish.THREADLOCKER, ("threadlock", "thread lock", "locking compound")),
        (Finish.GREASED, ("grease", "moly")),
        (Finish.OILED, ("oil", "lubricated")),
        (Finish.STAINLESS_DRY, ("stainless",)),
        (Finish.ZINC_DRY, ("zinc", "plated")),
        (Finish.BLACK_DRY, ("dry", "plain", "black")),
    ):
        if any(sign in said for sign in signs):
            return finish
    return Finish.UNKNOWN


def lubricant_warning(asked: str, used: str) -> Words | None:
    """What is wrong with the lubricant that was used, if anything.

    Args:
        asked: what the figure was given for, as the route card says it.
        used: what is on the bolt, in the same kind of words.
    Returns: a warning, or None where both are the same finish.
    Raises: nothing.

    Valid for English words. Source: SHIGLEY 8-27
    """
    one, other = finish_of(asked), finish_of(used)
    if one is other:
        return None
    change = NUT_FACTORS[one].high / NUT_FACTORS[other].low
    if NUT_FACTORS[other].low < NUT_FACTORS[one].low:
        return _(
            "The figure is for %(asked)s; with %(used)s the same torque can clamp up to %(times).1f times as "
            "hard and may stretch or break the bolt. Clean it and use what the card says, or ask the lead",
            asked=asked, used=used, times=change,
        )  # fmt: skip
    return _(
        "The figure is for %(asked)s; with %(used)s the same torque clamps less and the joint may work "
        "loose. Use what the card says, or ask the lead",
        asked=asked, used=used,
    )  # fmt: skip


def derated_nm(dry_nm: float, lubricant: str, *, finish: Finish) -> float:
    """A dry torque as a chart lowers it for a lubricant; only once.

    Args:
        dry_nm: the chart's dry figure, N·m, above 0.
        lubricant: one of `DERATES`.
        finish: what the dry figure was worked out for.
    Returns: N·m.
    Raises:
        QuantityError: unknown lubricant, or the figure has the lubricant in it already.

    Valid for charts of dry torques. Source: TM9-6115; TM55-1520; HOUSE (a capscrew chart)
    """
    if lubricant not in DERATES:
        known = ", ".join(DERATES)
        raise QuantityError(
            _("No chart lowers a torque for %(what)s; they have %(known)s", what=lubricant, known=known)
        )
    if finish not in {Finish.BLACK_DRY, Finish.ZINC_DRY, Finish.STAINLESS_DRY}:
        raise QuantityError(
            _(
                "The figure is for %(finish)s already: to lower it again would leave the joint loose",
                finish=finish.value,
            )
        )
    return dry_nm * DERATES[lubricant]
