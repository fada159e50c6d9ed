"""What is asked where welds are judged: the criteria, then every weld of the map that is looked at there."""

from django.utils.translation import gettext as _

from jobs.judging.weld_map import MappedWeld, read_welds
from jobs.models import Checkpoint


def mapped(checkpoint: Checkpoint) -> tuple[MappedWeld, ...]:
    """The welds of the map that are judged at a checkpoint."""
    return read_welds(checkpoint.frame) if checkpoint.frame else ()


def weld_asked(checkpoint: Checkpoint) -> list[tuple[str, str, str, str]]:
    """Name, question, and the two answers, for each criterion and each weld."""
    criteria = [
        (f"criterion_{n}", text, _("Met"), _("Not met"))
        for n, text in enumerate(checkpoint.criteria, start=1)
    ]
    welds = [
        (
            f"w_{weld.code}",
            _("Weld %(code)s, %(kind)s") % {"code": weld.code, "kind": weld.kind_words},
            _("Accepted"),
            _("To be repaired"),
        )
        for weld in mapped(checkpoint)
    ]
    return [*criteria, *welds]
