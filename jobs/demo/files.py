"""Reading the scenario's files: every scalar is text, days are relative to the day of loading."""

import datetime as dt
import re
from pathlib import Path
from typing import Any

import yaml
from django.conf import settings

FIXTURES = settings.BASE_DIR / "fixtures"
# The same in C where PyYAML was built with it: the long procedures take seconds otherwise.
_LOADER: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
RELATIVE_DAY = re.compile(r"\bday([+-]\d+)\b")


def read_yaml(name: str) -> dict[str, Any]:
    """A file of the scenario, with every scalar as text."""
    text = (FIXTURES / name).read_text(encoding="utf-8")
    found: dict[str, Any] = yaml.load(text, Loader=_LOADER)  # noqa: S506 - builds nothing but text
    return found


def read_bytes(name: str, *, today: dt.date) -> bytes:
    """A file of the scenario with its relative days written out."""
    text = Path(FIXTURES / name).read_text(encoding="utf-8")
    return RELATIVE_DAY.sub(lambda match: day(match[0], today).isoformat(), text).encode()


def day(text: str, today: dt.date) -> dt.date:
    """`day-7` is a week before `today`."""
    match = RELATIVE_DAY.fullmatch(text)
    if match is None:
        raise ValueError(f"{text!r} is no relative day")
    return today + dt.timedelta(days=int(match[1]))
