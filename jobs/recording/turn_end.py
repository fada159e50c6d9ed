"""What ends with a turn: the time that was booked in it."""

import datetime as dt

from django.db import transaction

from jobs.models import BookedTime, EndedBy
from jobs.recording.time import end
from shop.models import ShopSettings, Turn
from shop.tablets import end_lapsed, left_at


def close_what_was_left(*, now: dt.datetime) -> int:
    """End turns left open overnight and every booked time whose turn, or else whose day, is over.

    Returns: how many booked times were closed. May run twice, and beside the work.
    """
    for turn in Turn.objects.filter(ended_at=None).select_related("tablet__bay", "person"):
        end_lapsed(turn, now=now)
    rows = BookedTime.objects.filter(ended_at=None)
    return sum(_close(key, now) for key in rows.values_list("pk", flat=True))


@transaction.atomic
def _close(key: int, now: dt.datetime) -> bool:
    rows = BookedTime.objects.select_for_update(of=("self",)).filter(pk=key, ended_at=None)
    row = rows.select_related("job_operation__job", "job_operation__operation", "entry").first()
    over = _over(row, now) if row is not None else None
    if row is None or over is None:
        return False
    end(row, at=over, why=EndedBy.TURN_ENDED, now=now)
    return True


def _over(row: BookedTime, now: dt.datetime) -> dt.datetime | None:
    """When it was over: with the turn it was begun in, and at the latest with its day."""
    turn = (
        Turn.objects.filter(tablet=row.entry.tablet_id, person=row.person_id, started_at__lte=row.began_at)
        .order_by("-started_at")
        .first()
    )
    if turn is not None and turn.ended_at is not None and turn.ended_at >= row.began_at:
        return turn.ended_at
    settings = ShopSettings.current()
    if settings.day_at(row.began_at) >= settings.day_at(now):
        return None
    return left_at(row.person_id, row.began_at, settings=settings)
