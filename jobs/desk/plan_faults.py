"""What a plan could not take or took for granted: said once where it is the same of several cars."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class FaultLine:
    """One thing, its way out, and where it is so: words and the job that they lead to, empty for none."""

    what: str
    way_out: str
    places: tuple[tuple[str, str], ...]


def fault_lines(faults: Iterable[Mapping[str, Any]]) -> tuple[FaultLine, ...]:
    """The faults of a stored plan, in their order, those with the same words together."""
    found: dict[tuple[str, str], list[tuple[str, str]]] = {}
    for one in faults:
        place = str(one["where"]), str(one.get("job") or "")
        found.setdefault((str(one["what"]), str(one["way_out"])), []).append(place)
    return tuple(FaultLine(what, way_out, tuple(places)) for (what, way_out), places in found.items())
