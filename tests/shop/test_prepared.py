"""SQL kept from before gives what the query itself gives, and writes what saving writes."""

import datetime as dt
import uuid
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils.functional import SimpleLazyObject

from shop.events import row_digest
from shop.models import Bay, Calibration, Entry, Instrument, ShopSettings, SignedHow, StreamHead, Tablet
from shop.prepared import Prepared, keep_related
from shop.quick_writes import insert, update
from tests.factories import PersonFactory

pytestmark = pytest.mark.django_db


def an_entry(now: dt.datetime, **changed: Any) -> Entry:
    fields: dict[str, Any] = {
        "stream": "job/1",
        "subject": "C20",
        "kind": "reading",
        "payload": {"value": "1/2", "n": [1, None, True]},
        "entered_at": now,
        "received_at": now,
        "signer": PersonFactory(),
        "signed_how": SignedHow.TURN,
        "digest": "d",
        "outcome": "accepted",
        "position": 1,
    }
    return Entry(**{**fields, **changed})


def fields_of(row: Any) -> dict[str, Any]:
    return {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}


def test_its_rows_are_those_of_the_query_with_what_was_selected_beside(now: dt.datetime) -> None:
    tablet = Tablet.objects.create(
        bay=Bay.objects.create(number=1, name="North"),
        name="T",
        token_hash="h",
        assigned_by=PersonFactory(),
        assigned_at=now,
    )
    query = Prepared(
        lambda bay, after: Tablet.objects.select_related("bay", "assigned_by").filter(
            bay=bay, assigned_at__gte=after, revoked_at=None
        )
    )
    for _again in range(2):
        (found,) = query.all(bay=SimpleLazyObject(lambda: tablet.bay), after=now)
        assert fields_of(found) == fields_of(Tablet.objects.get())
        with CaptureQueriesContext(connection) as asked:
            assert (found.bay.name, found.assigned_by) == ("North", tablet.assigned_by)
        assert not asked
        assert not found._state.adding
    assert query.first(bay=tablet.bay, after=now + dt.timedelta(seconds=1)) is None


def test_lists_of_any_length_and_columns(now: dt.datetime) -> None:
    for n in range(5):
        StreamHead.objects.create(stream=f"job/{n}", sequence=n)
    query = Prepared(
        lambda streams: StreamHead.objects.filter(stream__in=streams).values_list("stream", "sequence")
    )
    for count in (1, 2, 3, 5):
        streams = [f"job/{n}" for n in range(count)]
        assert sorted(query.all(streams=streams)) == [(f"job/{n}", n) for n in range(count)]
    assert query.all(streams=[]) == []


def test_what_is_deferred_and_every_kind_of_value(now: dt.datetime) -> None:
    entry = an_entry(now)
    entry.save(force_insert=True)
    whole = Prepared(lambda key: Entry.objects.filter(pk=key))
    parts = Prepared(lambda keys: Entry.objects.filter(pk__in=keys).defer("payload"))
    found = whole.first(key=entry.pk)
    assert found is not None
    assert fields_of(found) == fields_of(entry)
    (part,) = parts.all(keys=[entry.pk, uuid.uuid4()])
    assert part.get_deferred_fields() == {"payload"}
    assert part.payload == entry.payload


def test_rows_that_were_read_stand_as_prefetched() -> None:
    tape = Instrument.objects.create(code="TP-1", name="Tape", kind="tape", unit="in", resolution="1/16 in")
    done = Calibration(instrument=tape, done_on=dt.date(2026, 1, 1), due_on=dt.date(2027, 1, 1), way="w")
    keep_related(tape, "calibrations", [done])
    with CaptureQueriesContext(connection) as asked:
        assert tape.calibration(on=dt.date(2026, 6, 1)) is done
    assert not asked


def test_a_row_written_is_the_row_saved(now: dt.datetime) -> None:
    """Key given or not, JSON, times; and changed by name."""
    entry = an_entry(now)
    insert(entry)
    stored = Entry.objects.get()
    assert fields_of(stored) == fields_of(entry)
    assert row_digest(stored) == row_digest(entry)
    entry.answer, entry.subject = {"verdict": "conforms"}, "not written"
    update(entry, "answer")
    stored.refresh_from_db()
    assert (stored.answer, stored.subject) == ({"verdict": "conforms"}, "C20")
    head = StreamHead(stream="job/1")
    insert(head)
    assert StreamHead.objects.get() == head
    assert not head._state.adding
    with pytest.raises(LookupError):
        update(StreamHead(pk=head.pk + 1, stream="x"), "sequence")


def test_settings_that_change_are_seen_at_once() -> None:
    assert ShopSettings.current().fire_watch_minutes == 60
    ShopSettings.objects.update_or_create(defaults={"fire_watch_minutes": 45})
    assert ShopSettings.current().fire_watch_minutes == 45
