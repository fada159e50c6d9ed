"""Two records of one job compared row by row, with the rows that were read with them."""

from dataclasses import fields, is_dataclass
from typing import Any

from django.db import models


def differs(kept: Any, fresh: Any, at: str = "record", deep: int = 0) -> str:
    """Where the kept one says something else, as a path; empty where it says all that the fresh one says."""
    if type(kept) is not type(fresh):
        return f"{at}: {kept!r} is kept, {fresh!r} is so"
    if isinstance(fresh, models.Model):
        near = fresh._state.fields_cache if deep < 3 else {}
        parts = [(n, getattr(kept, n), getattr(fresh, n)) for n in _columns(fresh)]
        parts += [(n, kept._state.fields_cache.get(n), to) for n, to in near.items()]
        deep += 1
    elif is_dataclass(fresh):
        parts = [(f.name, getattr(kept, f.name), getattr(fresh, f.name)) for f in fields(fresh)]
    elif isinstance(fresh, dict) and kept.keys() == fresh.keys():
        parts = [(key, kept[key], fresh[key]) for key in fresh]
    elif isinstance(fresh, tuple | list) and len(kept) == len(fresh):
        parts = [(n, kept[n], fresh[n]) for n in range(len(fresh))]
    else:
        return "" if kept == fresh else f"{at}: {kept!r} is kept, {fresh!r} is so"
    return next((d for n, a, b in parts if (d := differs(a, b, f"{at}.{n}", deep))), "")


def _columns(row: models.Model) -> list[str]:
    return [f.attname for f in row._meta.concrete_fields]
