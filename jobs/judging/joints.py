"""Between the wrench and the joint: an extension on it, a nut that is stiff before it seats."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.judging.instruments import Choice
from jobs.judging.questions import Question, said
from jobs.models import Checkpoint
from shop.engineering.decision.uncertainty import quantity_json
from shop.engineering.errors import QuantityError
from shop.engineering.joints.arriving import Extension, setting_of
from shop.engineering.quantities.measures import Quantity
from shop.engineering.quantities.reader import parse_quantity
from shop.engineering.quantities.writer import rounded
from shop.models import Tool, ToolKind

MEASURED = "measured"
EXTENSION, PREVAILING = "extension", "prevailing"
# In line with the handle, and square to it.
IN_LINE, SQUARE = 0, 90
SOURCE = "M1 = M2 L1 / (L1 + e cos a); TM 1-1500-204-23-6 paragraph 4 (prevailing torque added)"


@dataclass(frozen=True)
class Arriving:
    """What stands between a setting and its joint."""

    extension: Extension | None = None
    prevailing: Quantity | None = None
    readings: dict[str, Any] = field(default_factory=dict)

    @property
    def ratio(self) -> Fraction:
        return self.extension.ratio if self.extension else Fraction(1)

    @property
    def is_changed(self) -> bool:
        return self.ratio != 1 or self.prevailing is not None

    @property
    def sentence(self) -> str:
        """What was allowed for, before what it came to."""
        parts = []
        if self.extension is not None:
            share = f"{float(self.ratio):.3f}"
            words = _("Through %(code)s %(share)s of the setting arrives at the nut.")
            parts.append(words % {"code": self.extension.code, "share": share})
        if self.prevailing is not None:
            words = _("The nut takes %(torque)s of it before it seats.")
            parts.append(words % {"torque": rounded(self.prevailing)})
        return " ".join(parts)

    def as_json(self, setting: Quantity) -> dict[str, Any]:
        """What is kept with the decision; empty where the setting itself arrives."""
        if self.extension is None and self.prevailing is None:
            return {}
        return {
            "arriving": {
                "setting": quantity_json(setting),
                "ratio": str(self.ratio),
                "extension": self.extension.as_json() if self.extension else None,
                "prevailing": quantity_json(self.prevailing),
                "source": SOURCE,
            }
        }


def arriving_of(question: Question, wrench: Choice) -> Arriving:
    """What was between wrench and joint, as it was said.

    Raises:
        BadInput: the extension is not known, or its lengths are not; no prevailing torque was measured.
    """
    extension = _extension(str(question.payload.get(EXTENSION, "")).strip(), wrench)
    readings: dict[str, Any] = {}
    if extension is not None:
        readings[EXTENSION] = f"{extension.code}/{extension.degrees}"
    stated = question.checkpoint.prevailing
    if stated == MEASURED:
        prevailing = question.quantity(PREVAILING, wrench.row.unit)
        if prevailing.value < 0:
            raise BadInput({PREVAILING: _("It is measured while the nut runs down: nothing or more")})
        readings[PREVAILING] = question.kept(PREVAILING, prevailing)
        return Arriving(extension, prevailing, readings)
    return Arriving(extension, stated_prevailing(question.checkpoint), readings)


def stated_prevailing(checkpoint: Checkpoint) -> Quantity | None:
    """The prevailing torque that the procedure itself gives."""
    if not checkpoint.prevailing or checkpoint.prevailing == MEASURED:
        return None
    try:
        return parse_quantity(checkpoint.prevailing)
    except QuantityError:
        return None


def _extension(text: str, wrench: Choice) -> Extension | None:
    if not text:
        return None
    code, _slash, degrees = text.partition("/")
    tool = Tool.objects.filter(code=code, kind=ToolKind.EXTENSION, is_withdrawn=False).first()
    if tool is None or degrees not in {str(IN_LINE), str(SQUARE)}:
        raise BadInput({EXTENSION: _("There is no extension %(code)s") % {"code": code[:20]}})
    found = extension_on(tool, wrench, int(degrees))
    if isinstance(found, str):
        raise BadInput({EXTENSION: found})
    return found


def extension_on(tool: Tool, wrench: Choice, degrees: int) -> Extension | str:
    """An extension on a wrench; or, in words, why what arrives cannot be worked out."""
    lever = wrench.row.lever
    if not lever and degrees == IN_LINE:
        words = _(
            "The length of %(code)s from hand to square is not entered: fit the extension square to the "
            "handle, where nothing changes, or have it entered under Shop, Instruments"
        )
        return words % {"code": wrench.row.code}
    try:
        return Extension(tool.code, parse_quantity(tool.size), parse_quantity(lever or tool.size), degrees)
    except QuantityError as error:
        return said(error)


@dataclass(frozen=True)
class Setting:
    """What to set on one wrench with one extension, in the wrench's own unit."""

    value: str
    label: str
    wrench: str
    set_to: str


def settings_for(
    figure: Quantity, choices: Sequence[Choice], tools: Sequence[Tool], prevailing: Quantity | None
) -> tuple[Setting, ...]:
    """What to set on each usable wrench with each extension in line; square to the handle nothing changes."""
    found = []
    for tool in tools:
        for choice in choices:
            extension = extension_on(tool, choice, IN_LINE)
            if isinstance(extension, str):
                continue
            set_to = setting_of(figure, ratio=extension.ratio, prevailing=prevailing)
            words = rounded(set_to, choice.row.unit)
            found.append(Setting(f"{tool.code}/{IN_LINE}", str(tool), choice.row.code, words))
    return tuple(found)
