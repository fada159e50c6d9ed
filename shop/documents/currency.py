"""Whether a paper still says what the record says."""

from collections.abc import Iterable

from django.db.models import Max, Q

from shop.documents.models import Document
from shop.models import Event

# Asking for a paper and handing it out are in the record as well, but change nothing that one says;
# nor does who was at work when, and what they told each other.
SAID_BY_NONE = (
    Q(kind__startswith="document.")
    | Q(kind__startswith="time.")
    | Q(kind__startswith="note.")
    | Q(kind__in=[f"entry.{kind}" for kind in ("pause", "resume", "hand_over", "note", "time_correction")])
)


def last_change(streams: Iterable[str]) -> dict[str, int]:
    """The newest event of each stream that a paper about it could show."""
    return dict(
        Event.objects.filter(stream__in=set(streams))
        .exclude(SAID_BY_NONE)
        .order_by("stream")
        .values("stream")
        .annotate(top=Max("sequence"))
        .values_list("stream", "top")
    )


def has_moved_on(document: Document) -> bool:
    """Whether the record has changed since the paper was made of it."""
    if document.record_sequence is None:
        return False
    return last_change([document.stream]).get(document.stream, 0) > document.record_sequence
