"""Numbers of pieces, as people type them."""

import re

from django.utils.translation import gettext as _

MOST_PIECES = 99_999
WHOLE = re.compile(r"[0-9]{1,400}")


class CountError(ValueError):
    """What was typed is not a number of pieces; `message` says so in the user's words."""

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message


def read_count(text: str, *, at_least: int = 0) -> int:
    """A number of pieces: whole, not negative, not beyond what a shop could ever have.

    Raises:
        CountError: for anything else; nothing is rounded or guessed.
    """
    typed = text.strip()
    if not typed:
        raise CountError(_("Type a number of pieces, 0 if there are none."))
    if re.fullmatch(r"[-\u2212][0-9]+", typed):
        raise CountError(_("A number of pieces cannot be below 0."))
    if not WHOLE.fullmatch(typed):
        raise CountError(_("Type a whole number of pieces, such as 12."))
    count = int(typed)
    if count > MOST_PIECES:
        raise CountError(_("That is too many: at most %(most)d pieces.") % {"most": MOST_PIECES})
    if count < at_least:
        raise CountError(_("At least %(least)d is needed.") % {"least": at_least})
    return count
