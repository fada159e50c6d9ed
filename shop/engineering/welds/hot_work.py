"""Hot work: how long the fire is watched by which rule, how far fire may reach, what else to mind."""

from dataclasses import dataclass
from typing import Final

from shop.engineering.errors import QuantityError
from shop.engineering.words import Words, gettext_noop
from shop.engineering.words import say as _

CLEAR_FT: Final = 35
FT_M: Final = 0.3048
STRIP_BACK_IN: Final = 4
ZINC_LIMIT_MG_M3: Final = 5.0
MODULES_MM: Final = 300
FUME_FEVER_H: Final = (24, 48)
JACK_SHARE: Final = 0.5
STANDS_STANDARD: Final = "ASME PASE-2014"


@dataclass(frozen=True)
class WatchRule:
    """What a published rule asks of the fire watch.

    Attributes:
        minutes: at least, from the end of the last hot work; None where the rule gives no figure.
        monitoring_hours: further monitoring at most, where whoever gives the permit asks for it.
        distance_ft: within which what burns is taken away or shielded; None where the rule gives no figure.
    """

    code: str
    title: str
    edition: str
    minutes: int | None
    monitoring_hours: int = 0
    distance_ft: int | None = None

    def __str__(self) -> str:
        return f"{self.title}, {self.edition}"

    @property
    def described(self) -> str:
        """The rule with its edition and what it asks for, as it stands in a list to choose from."""
        if self.minutes is None:
            return f"{self}: gives no figure"
        return f"{self}: {self.minutes} min at least"


RULES: Final = {
    rule.code: rule
    for rule in (
        WatchRule("51B-2019", "NFPA 51B", "2019", 60, 3, CLEAR_FT),
        WatchRule("51B-2014", "NFPA 51B", "2014", 30, 0, CLEAR_FT),
        WatchRule("1910.252", "29 CFR 1910.252(a)(2)", "general industry", 30, 0, CLEAR_FT),
        WatchRule("1915.504", "29 CFR 1915.504", "shipyards", 30, 0, CLEAR_FT),
        WatchRule("1926.352", "29 CFR 1926.352(e)", "construction", None),
    )
}

DEFERS: Final = gettext_noop(
    "The authority having jurisdiction decides; local code, insurer and site rules come before this figure."
)


def watch_rule(code: str) -> WatchRule:
    """A published rule.

    Args:
        code: one of `RULES`.
    Returns: the rule with its edition.
    Raises:
        QuantityError: an unknown code.

    Valid where that edition is in force, which is for the local authority to say.
    Source: NFPA51B; 29CFR1910; 29CFR1915; 29CFR1926
    """
    found = RULES.get(code)
    if found is None:
        raise QuantityError(_("No such rule is known here; choose one of the list"))
    return found


def rule_named_in(text: str) -> WatchRule | None:
    """The published rule that a text names, with its edition.

    Args:
        text: as a shop writes where its figure comes from.
    Returns: the rule whose title and edition both stand in it, the strictest of several; None
        where none does.

    Valid for the rules that are known here. Source: HOUSE (title and edition, in any case)
    """
    said = " ".join(text.lower().replace(",", " ").split())
    found = [r for r in RULES.values() if r.title.lower() in said and r.edition.lower() in said]
    return max(found, key=lambda rule: rule.minutes or 0, default=None)


def watch_too_short(minutes: int, code: str) -> Words | None:
    """What is wrong with a length of the watch.

    Args:
        minutes: that the shop wants to watch.
        code: the rule that it goes by.
    Returns: why it is too short; None where it is not.
    Raises:
        QuantityError: an unknown code.

    Valid as the published minimum; local code may ask for more. Source: NFPA51B; 29CFR1910
    """
    rule = watch_rule(code)
    if rule.minutes is None or minutes >= rule.minutes:
        return None
    return _(
        "%(rule)s asks for %(least)d minutes at least; %(minutes)d is shorter",
        rule=str(rule), least=rule.minutes, minutes=minutes,
    )  # fmt: skip


def watch_complete(minutes_since_last_spark: float, code: str) -> bool:
    """Whether a watch has lasted as long as a rule asks.

    Args:
        minutes_since_last_spark: from the end of the last hot work.
        code: the rule.
    Returns: whether; never where the rule gives no figure, for then a person decides.
    Raises:
        QuantityError: an unknown code.

    Valid where nothing was seen to smoulder. Source: NFPA51B; 29CFR1910
    """
    rule = watch_rule(code)
    return rule.minutes is not None and minutes_since_last_spark >= rule.minutes


def watch_needed(distance_ft: float, *, shielded: bool) -> bool:
    """Whether something that burns nearby asks for a fire watch.

    Args:
        distance_ft: to what burns, feet.
        shielded: it is covered or shielded, with no opening towards it.
    Returns: whether; heat through panels and openings asks for one at any distance.
    Raises:
        QuantityError: a distance below nothing.

    Valid in general industry. Source: 29CFR1910 (252(a)(2)(iii)(A))
    """
    if distance_ft < 0:
        raise QuantityError(_("A distance is not below nothing"))
    return distance_ft <= CLEAR_FT and not shielded


def watch_may_do_other_work() -> bool:
    """Whether the person on watch may have other duties meanwhile.

    Args:
    Returns: no.

    Valid in shipyards by law, elsewhere as good practice. Source: 29CFR1915 (504(c))
    """
    return False


def cables_off() -> Words:
    """Which battery cables come off before welding on a car.

    Args:
    Returns: both, and which first.

    Valid unless the vehicle maker says otherwise. Source: I-CAR (welding precautions)
    """
    return _("both; negative first")


def work_clamp() -> Words:
    """Where the work clamp goes.

    Args:
    Returns: the place.

    Valid unless the vehicle maker says otherwise. Source: I-CAR (welding precautions)
    """
    return _("close to the weld")


def stand_share(rating: float, *, per_pair: bool) -> float:
    """What one stand carries by its label.

    Args:
        rating: on the label, any unit.
        per_pair: the label rates two together.
    Returns: for one stand, the same unit.
    Raises:
        QuantityError: the rating is not above nothing.

    Valid for stands of one make and size. Source: HOUSE (labelling practice, read the label)
    """
    if rating <= 0:
        raise QuantityError(_("A rating is above nothing"))
    return rating / 2 if per_pair else rating


def stand_use(load: float, capacity: float) -> float:
    """The share of its capacity that a stand carries.

    Args:
        load: on the stand, any unit.
        capacity: of one stand, the same unit.
    Returns: the share; above 1 it is overloaded.
    Raises:
        QuantityError: the capacity is not above nothing, or the load below it.

    Valid for a load that stands straight. Source: HOUSE (definition)
    """
    if capacity <= 0 or load < 0:
        raise QuantityError(_("A capacity is above nothing and a load not below it"))
    return load / capacity
