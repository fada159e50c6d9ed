"""What each gate asks, in the words that stand on the traveler."""

from collections.abc import Iterator

from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.gates.needs import NEEDS, PROVED_INSIDE
from jobs.models import Flag, Operation, Proves

# What a gate asks beside the checkpoints that `gate_needs` names.
ASKS_ALSO = {
    Flag.STOPS_ROLLING: gettext_lazy(
        "authority to cut; kit counted; every part needed before it rolls again here, promised in time or "
        "taken as a risk by the manager"
    ),
    Flag.CUTS_STRUCTURE: gettext_lazy("authority to cut"),
    Flag.ONTO_WHEELS: gettext_lazy("every suspension joint tightened, or listed for ride height"),
    Flag.DRIVEN: gettext_lazy("every steering, suspension and brake joint tightened"),
}
FOLLOWS = {
    Flag.MOVES_CAR: gettext_lazy("datums and level are to be recorded again afterwards"),
    Flag.HOT_WORK: gettext_lazy("fire watch afterwards, grinding included"),
}


def gate_sentences(operation: Operation) -> tuple[str, ...]:
    """One sentence a gate: what the operation does, and what has to hold before it or follows from it."""
    return tuple(_sentence(Flag(flag)) for flag in operation.flags)


def _sentence(flag: Flag) -> str:
    words = capfirst(str(flag.label))
    asked = "; ".join(_asked(flag))
    if asked and flag in PROVED_INSIDE:
        words = _("%(what)s. First: %(asked)s") % {"what": words, "asked": asked}
    elif asked:
        words = _("%(what)s. Before it: %(asked)s") % {"what": words, "asked": asked}
    follows = FOLLOWS.get(flag)
    return f"{words}; {follows}." if follows else f"{words}."


def _asked(flag: Flag) -> Iterator[str]:
    if flag in ASKS_ALSO:
        yield str(ASKS_ALSO[flag])
    yield from (str(Proves(proof).label) for proof in NEEDS.get(flag, ()))
