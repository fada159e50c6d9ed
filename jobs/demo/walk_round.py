"""The walk round a car when it came in: marks on its outline, some with a picture, and what was read."""

from collections.abc import Mapping
from typing import Any

from jobs.demo.player import Player
from shop.models import Person, SignedHow

MARKS, REPORT = "condition", "condition-report"


def walk_round(player: Player, told: Mapping[str, Any], *, by: Person) -> None:
    """Every mark as it was touched, then the report; entries of the desk like any other."""
    for mark in told["marks"]:
        payload = {name: mark[name] for name in ("view", "place", "kind", "note")}
        if mark.get("photo") == "yes":
            payload["photo"] = player.photograph(MARKS, mark["note"], by)
        player.clock.work(1)
        player.send("condition_mark", MARKS, by, SignedHow.DESK, payload)
    player.send("condition_report", REPORT, by, SignedHow.DESK, dict(told["report"]))
