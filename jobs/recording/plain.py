"""What a client sent, before anything looks at it: plain texts of a bearable length and nothing else."""

import datetime as dt
from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _

from jobs.bad_input import BadInput

MOST_CHARACTERS = 4000
MOST_FIELDS = 60
# Put in, as keys, by whoever confirmed that person's PIN, and by the page that knows who types.
KEYS = frozenset({"second", "typed_by"})


def require_plain(payload: object, *, subject: str, entered_at: dt.datetime | None) -> None:
    """Refuse what no form of ours sends.

    Raises:
        BadInput: with a message for each field.
    """
    if not isinstance(payload, Mapping) or len(payload) > MOST_FIELDS:
        raise BadInput({"": _("This is no form of ours. Open the page again and enter it once more")})
    errors = {str(name)[:40]: _fault(name, value) for name, value in payload.items()}
    errors["subject"] = errors.get("subject", "") or _text_fault(subject)
    found = {name: fault for name, fault in errors.items() if fault}
    if not _is_time(entered_at):
        found["entered_at"] = _("The time of entry cannot be read. Open the page again")
    if found:
        raise BadInput(found)


def _fault(name: object, value: Any) -> str:
    if not isinstance(name, str) or _text_fault(name):
        return _("This field is none of ours. Open the page again and enter it once more")
    if name in KEYS and (value is None or type(value) is int):
        return ""
    if not isinstance(value, str):
        return _("This must be a text, as it is typed")
    return _text_fault(value)


def _text_fault(text: str) -> str:
    if len(text) > MOST_CHARACTERS:
        return _("%(given)d characters are too many; at most %(most)d") % {
            "given": len(text),
            "most": MOST_CHARACTERS,
        }
    if "\0" in text or any("\ud800" <= character <= "\udfff" for character in text):
        return _("There is a character in this that no keyboard makes; type it again")
    return ""


def _is_time(given: dt.datetime | None) -> bool:
    try:
        return given is None or (given.tzinfo is not None and bool(given.astimezone(dt.UTC)))
    except OverflowError:
        return False
