"""How a limit is judged that nothing in the shop can prove, as a lead has decided it."""

from typing import Any

from django.utils.translation import gettext as _

from jobs.models import Checkpoint, JudgedWay, JudgingDecision
from shop.engineering.decision.rules import SIMPLE_ACCEPTANCE, Rule


def judging_of(checkpoint: Checkpoint) -> JudgingDecision | None:
    """The decision about a checkpoint's limit; none where a deviation has put another in its place."""
    if hasattr(checkpoint, "procedure_limits"):
        return None
    found: JudgingDecision | None = getattr(checkpoint, "judging", None)
    return found


def fallback_rule(checkpoint: Checkpoint) -> Rule | None:
    """The rule where no instrument can prove the limit by the shop's own; None where none was decided."""
    found = judging_of(checkpoint)
    return SIMPLE_ACCEPTANCE if found is not None and found.way == JudgedWay.SIMPLE else None


def judging_words(checkpoint: Checkpoint) -> str:
    """What was decided, by whom and why; empty where nothing was."""
    found = judging_of(checkpoint)
    if found is None:
        return ""
    words: dict[str, Any] = {
        "instrument": found.instrument,
        "who": f"{found.person}, {found.second}" if found.second else str(found.person),
        "reason": found.reason,
    }
    if found.way == JudgedWay.SIMPLE:
        said = _(
            "Nothing here can prove this limit. It is judged as read, by simple acceptance: "
            "%(reason)s (%(who)s)"
        )
    elif found.way == JudgedWay.FINER:
        said = _("Nothing here can prove this limit. %(instrument)s is bought or hired: %(reason)s (%(who)s)")
    else:
        said = _("Nothing here can prove this limit. Each car gets a deviation: %(reason)s (%(who)s)")
    return said % words
