"""What somebody counted of one delivery, before it is recorded."""

from dataclasses import asdict, dataclass
from typing import Any

from django.utils.translation import gettext as _

from parts.counts import MOST_PIECES, CountError

MOST_NOTE = 200
MOST_PART = 40


@dataclass(frozen=True)
class CountedPart:
    """The pieces of one part: good, damaged, and wrong ones sent in its place.

    `is_unlisted`: somebody says that the part is not of this kit. `over_confirmed`: somebody has looked
    again and says that more came than was ordered. `more_came`: somebody says that these pieces came beside
    those counted against the same slip before.
    """

    part_number: str
    counted: int
    damaged: int = 0
    wrong: int = 0
    note: str = ""
    is_unlisted: bool = False
    over_confirmed: bool = False
    more_came: bool = False

    @property
    def came(self) -> int:
        return self.counted + self.damaged + self.wrong

    def __post_init__(self) -> None:
        for number in (self.counted, self.damaged, self.wrong):
            if type(number) is not int or not 0 <= number <= MOST_PIECES:
                raise CountError(
                    _("A number of pieces is whole, from 0 to %(most)d.") % {"most": MOST_PIECES}
                )
        if not 0 < len(self.part_number) <= MOST_PART:
            raise CountError(_("A part number has 1 to %(most)d characters.") % {"most": MOST_PART})
        if len(self.note) > MOST_NOTE:
            raise CountError(_("A note has at most %(most)d characters.") % {"most": MOST_NOTE})


@dataclass(frozen=True)
class Delivery:
    """The parts counted at one time, against a packing slip or (slip empty) without one."""

    slip: str
    parts: tuple[CountedPart, ...]

    def as_payload(self) -> dict[str, Any]:
        return {"slip": self.slip, "parts": [asdict(part) for part in self.parts]}
