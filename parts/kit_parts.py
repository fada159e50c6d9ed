"""Which line of a kit a part number belongs to: its own, or the one that it may stand in for."""

from collections import defaultdict
from collections.abc import Iterable, Mapping

from parts.models import KitLine


def lines_by_part(lines: Iterable[KitLine]) -> Mapping[str, KitLine]:
    """Every part number that a kit takes, with its line.

    A substitute allowed for two parts is left out: which of them it is to serve, only a person can say.
    """
    own: dict[str, KitLine] = {}
    standing_in: dict[str, list[KitLine]] = defaultdict(list)
    for line in lines:
        own[line.part_number] = line
        for part in line.substitutes:
            standing_in[part].append(line)
    clear = {part: found[0] for part, found in standing_in.items() if len(found) == 1}
    return {**clear, **own}
