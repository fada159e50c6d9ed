"""The record read again: whatever was changed behind the application's back is named."""

import datetime as dt
from collections.abc import Callable

import pytest
from django.core.management import CommandError, call_command
from django.db import connection, transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shop.events import NotInTransactionError, append
from shop.models import Bay, Customer, Event, StreamHead
from shop.verification import verify_record

NOW = dt.datetime(2026, 3, 2, 15, 0, tzinfo=dt.UTC)


def write(stream: str, count: int, start: int = 1) -> None:
    for number in range(start, start + count):
        with transaction.atomic():
            bay = Bay.objects.create(number=number, name=f"Bay {number}")
            append(stream=stream, kind="bay.made", data={"number": number}, now=NOW, rows=[bay])


def found() -> list[str]:
    return [str(f) for f in verify_record().findings]


@pytest.mark.django_db
def test_a_record_that_nobody_touched_is_whole() -> None:
    write("shop", 4)
    write("job/1001", 3, start=10)
    verified = verify_record()
    assert verified.is_whole
    assert (verified.streams, verified.events, verified.rows) == (2, 7, 7)


@pytest.mark.django_db(transaction=True)
def test_an_event_outside_of_a_transaction_is_refused() -> None:
    with pytest.raises(NotInTransactionError):
        append(stream="shop", kind="x", data={}, now=NOW)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("change", "where"),
    [
        (lambda: Event.objects.filter(sequence=2).update(kind="bay.closed"), "event shop 2"),
        (lambda: Event.objects.filter(sequence=2).update(recorded_at=NOW.replace(hour=1)), "event shop 2"),
        (lambda: Event.objects.filter(sequence=2).delete(), "event shop 3"),
        (lambda: Event.objects.filter(sequence=4).delete(), "shop: its chain ends"),
        (lambda: Event.objects.all().delete(), "all 4 events are gone"),
        (lambda: StreamHead.objects.all().delete(), "head of its chain is gone"),
        (lambda: Bay.objects.filter(number=3).update(name="Bay three"), "row shop.bay:"),
        (lambda: Bay.objects.filter(number=3).delete(), "was removed"),
        (lambda: Bay.objects.create(number=9, name="Bay 9"), "added without an event"),
    ],
)
def test_a_change_behind_its_back_is_named(change: Callable[[], object], where: str) -> None:
    write("shop", 4)
    change()
    assert any(where in line for line in found())
    with pytest.raises(CommandError):
        call_command("verify_record", stdout=open("/dev/null", "w"))  # noqa: SIM115, PTH123


@pytest.mark.django_db
def test_events_that_changed_places_are_named() -> None:
    write("shop", 4)
    second, third = Event.objects.filter(sequence__in=[2, 3]).order_by("sequence")
    payload = bytes(second.payload)
    Event.objects.filter(pk=second.pk).update(payload=bytes(third.payload), kind=third.kind)
    Event.objects.filter(pk=third.pk).update(payload=payload, kind=second.kind)
    assert any("event shop 2" in line for line in found())
    assert any("event shop 3" in line for line in found())


@pytest.mark.django_db
@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(number=st.integers(1, 4), place=st.integers(0, 10_000), flip=st.integers(1, 255))
def test_any_byte_of_an_event_that_was_changed_is_found(number: int, place: int, flip: int) -> None:
    with transaction.atomic():
        write("shop", 4)
        event = Event.objects.get(sequence=number)
        changed = bytearray(event.payload)
        changed[place % len(changed)] ^= flip
        Event.objects.filter(pk=event.pk).update(payload=bytes(changed))
        assert any(f"event shop {number}" in line for line in found())
        transaction.set_rollback(True)


@pytest.mark.django_db
def test_personal_data_can_be_erased_and_the_record_stays_whole() -> None:
    with transaction.atomic():
        customer = Customer.objects.create(name="Oda Venn", phone="555 0100")
        append(stream="job/1", kind="x", data={"customer": customer.reference}, now=NOW, rows=[customer])
    Customer.objects.update(name="erased", phone="")
    assert verify_record().is_whole
    raw = b"".join(bytes(p) for p in Event.objects.values_list("payload", flat=True))
    assert b"Oda" not in raw


@pytest.mark.django_db
def test_reading_the_record_takes_as_many_queries_for_many_rows() -> None:
    write("shop", 3)
    with CountedQueries() as few:
        verify_record()
    write("shop", 30, start=50)
    with CountedQueries() as many:
        verify_record()
    assert many.count == few.count


class CountedQueries:
    """How many queries were made inside."""

    count = 0

    def __enter__(self) -> "CountedQueries":
        self._wrapper = connection.execute_wrapper(self._add)
        self._wrapper.__enter__()
        return self

    def _add(self, execute, sql, params, many, context):  # type: ignore[no-untyped-def]
        self.count += 1
        return execute(sql, params, many, context)

    def __exit__(self, *error: object) -> None:
        self._wrapper.__exit__(*error)
