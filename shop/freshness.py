"""Telling a page that nothing has changed, without making it again."""

import datetime as dt
from collections.abc import Iterable

from django.contrib.messages import get_messages
from django.db.models import Q
from django.http import HttpRequest
from django.utils import timezone

from shop.canonical import canonical_bytes, sha256_of
from shop.models import Event, StreamHead
from shop.prepared import Prepared

# Words that hang on the clock (days blocked, dates worked out from now) may be as old as this.
MOST_MINUTES_OLD = 10

# What every car hangs on: people and settings, procedures and kits, instruments, the plan.
SHARED_STREAMS = ("shop", "procedure/", "kit/", "instrument/", "plan/")


def heads_of(streams: Iterable[str]) -> dict[str, str]:
    """The hash at the end of each stream that has begun, in one query."""
    asked = set(streams)
    return dict(HEADS.all(streams=asked)) if asked else {}


def heads_with_shared(streams: Iterable[str]) -> dict[str, str]:
    """The same with every stream that all cars hang on."""
    return dict(HEADS_WITH_SHARED.all(streams=set(streams)))


def shared_sequence() -> int:
    """A number that grows with every event of the streams that every car hangs on."""
    return sum(sequence for (sequence,) in SHARED_SEQUENCES.all())


def _shared() -> Q:
    shared = Q()
    for name in SHARED_STREAMS:
        shared |= Q(stream__gte=name, stream__lt=name[:-1] + chr(ord(name[-1]) + 1))
    return shared


HEADS = Prepared(lambda streams: StreamHead.objects.filter(stream__in=streams).values_list("stream", "hash"))
HEADS_WITH_SHARED = Prepared(
    lambda streams: StreamHead.objects.filter(Q(stream__in=streams) | _shared()).values_list("stream", "hash")
)
NEWEST_EVENT = Prepared(lambda: Event.objects.order_by("-pk").values_list("pk")[:1])
SHARED_SEQUENCES = Prepared(lambda: StreamHead.objects.filter(_shared()).values_list("sequence"))


def etag_of_everything(request: HttpRequest, *, now: dt.datetime | None = None) -> str | None:
    """An ETag that changes with every event of the shop; None while a message waits to be shown.

    Every change writes an event, so the newest one says whether anything changed.
    """
    if len(get_messages(request)):
        return None
    now = now or timezone.now()
    seen = [
        NEWEST_EVENT.first(),
        request.user.pk,
        request.META.get("CSRF_COOKIE", ""),
        request.headers.get("HX-Target", ""),
        request.get_full_path(),
        int(now.timestamp()) // (60 * MOST_MINUTES_OLD),
    ]
    return f'"{sha256_of(canonical_bytes(seen))}"'
