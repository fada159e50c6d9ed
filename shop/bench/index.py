"""All sheets of the bench, in their parts."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from shop.bench import capability, holes, joints, measuring, welding, wrenches
from shop.bench.sheets import Sheet


@dataclass(frozen=True)
class Part:
    """Sheets that belong together."""

    title: str
    sheets: tuple[Sheet, ...]


def parts() -> tuple[Part, ...]:
    """The bench's table of contents."""
    return (
        Part(_("Measuring"), (*measuring.sheets(), *capability.sheets())),
        Part(_("Holes"), holes.sheets()),
        Part(_("Threaded joints"), (*joints.sheets(), *wrenches.sheets())),
        Part(_("Square, welds, hot work"), welding.sheets()),
    )


def find_sheet(key: str) -> Sheet | None:
    """The sheet of that key."""
    return next((sheet for part in parts() for sheet in part.sheets if sheet.key == key), None)
