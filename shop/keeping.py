"""Changing what the shop keeps of itself: settings, bays, people, instruments, customers.

Each change leaves an event. Values of people are left out of it; rows of evidence are in it by digest.
"""

import datetime as dt
from collections.abc import Iterable

from django.db import models, transaction

from shop.events import append, row_name
from shop.models import Calibration, Instrument, Person

# Hashes and sign-in times are nobody's business in the record, nor whether they changed.
NEVER_NAMED = frozenset({"password", "pin_hash", "last_login"})


@transaction.atomic
def keep(row: models.Model, *, changed: Iterable[str], added: bool, by: Person, now: dt.datetime) -> None:
    """Save a row that somebody changed, and the event of it, in one transaction.

    Args:
        changed: the names of the changed fields; their values are in the row's digest.
    """
    row.save()
    personal: frozenset[str] = getattr(row, "personal_fields", frozenset())
    append(
        stream=stream_of(row),
        kind=f"{row._meta.model_name}.{'added' if added else 'changed'}",
        data={
            "by": by.pk,
            "row": row_name(row),
            "changed": sorted(set(changed) - NEVER_NAMED - personal),
        },
        now=now,
        rows=() if isinstance(row, Person) else (row,),
    )


@transaction.atomic
def take_away(row: models.Model, *, by: Person, now: dt.datetime) -> None:
    """Remove a row of the shop's plans, such as an absence, with the event that says so."""
    append(
        stream=stream_of(row),
        kind=f"{row._meta.model_name}.removed",
        data={"by": by.pk, "row": row_name(row)},
        now=now,
        removed=(row,),
    )
    row.delete()


def stream_of(row: models.Model) -> str:
    """Instruments have a stream each, with their calibrations; all else is the shop's."""
    if isinstance(row, Instrument):
        return f"instrument/{row.code}"
    if isinstance(row, Calibration):
        return f"instrument/{row.instrument.code}"
    return "shop"
