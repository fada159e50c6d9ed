"""One way to write a value as bytes, so that a hash of it means something."""

import datetime as dt
import hashlib
import json
import uuid
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django.db import models


def _plain(value: object) -> object:
    if isinstance(value, dt.datetime):
        return value.astimezone(dt.UTC).isoformat(timespec="microseconds")
    if isinstance(value, dt.date | dt.time):
        return value.isoformat()
    if isinstance(value, uuid.UUID):
        return str(value)
    if isinstance(value, Decimal):
        return format(value.normalize(), "f")
    if isinstance(value, Fraction):
        return f"{value.numerator}/{value.denominator}"
    if isinstance(value, models.fields.files.FieldFile):
        return value.name or ""
    if isinstance(value, bytes | memoryview):
        return bytes(value).hex()
    raise TypeError(f"{type(value).__name__} has no canonical form")


def canonical_bytes(value: Any) -> bytes:
    """JSON in UTF-8: keys sorted, no blanks, times in UTC.

    Raises:
        TypeError: for a value that has no canonical form.
        ValueError: for NaN and infinities.
    """
    return json.dumps(
        value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False, default=_plain
    ).encode()


def sha256_of(*parts: bytes) -> str:
    """The hash of the parts, each with its length before it, so that none can be moved across a border."""
    digest = hashlib.sha256()
    for part in parts:
        digest.update(len(part).to_bytes(8, "big"))
        digest.update(part)
    return digest.hexdigest()
