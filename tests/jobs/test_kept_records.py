"""A record that is kept says what one that is read anew says, whatever was recorded or taken back."""

import uuid
from collections.abc import Callable

import pytest
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext

from jobs.kept_records import KEPT_RECORDS, KeptRecords
from jobs.record import JobRecord
from shop.events import append
from shop.models import ShopSettings, SignedHow
from tests.jobs.record_differences import differs
from tests.jobs.small_route import SmallRoute


@pytest.fixture
def kept(route: SmallRoute) -> KeptRecords:
    kept = KeptRecords()
    kept.load(route.fresh_job())
    return kept


def assert_same(kept: KeptRecords, route: SmallRoute) -> None:
    for known in (kept, KEPT_RECORDS):
        assert not differs(known.load(route.fresh_job()), JobRecord.load(route.fresh_job()))


def test_it_follows_a_car_along_its_way(route: SmallRoute, kept: KeptRecords) -> None:
    """Kit, authority, hot work that opens its watch again, a joint loosened, a problem decided about."""
    for code in ("T10", "C20", "W30", "A20"):
        route.up_to(code)
        assert_same(kept, route)
    assert route.send("loosen", "A10", "fenn", checkpoint="A10.1", reason="Arm off again").accepted
    assert_same(kept, route)
    assert route.read("A10.3", "fenn", SignedHow.TURN, value="80", reason="Looked again").accepted
    assert_same(kept, route)
    answer = route.send(
        "disposition", "A10", "lind", SignedHow.PIN, nonconformance="1", disposition="rework", reason="New"
    )
    assert answer.accepted, answer.data
    assert_same(kept, route)


def test_it_follows_what_was_changed_for_the_car(route: SmallRoute, kept: KeptRecords) -> None:
    """A deviation, work added and left out, extra work, a kit short, the car moved, the shop's settings."""
    route.up_to("C10")
    for change in changes(route):
        change()
        assert_same(kept, route)
        assert route.send("note", f"C10/note/{uuid.uuid4().hex[:8]}", "fenn", text="Seen").accepted
        assert_same(kept, route)


def changes(route: SmallRoute) -> list[Callable[[], object]]:
    def setting() -> None:
        with transaction.atomic():
            ShopSettings.objects.update_or_create(defaults={"fire_watch_minutes": 45})
            append(stream="shop", kind="settings.changed", data={}, now=route.now)

    lead = {"reason": "As built", "second": route.people["thorn"].pk}
    return [
        setting,
        lambda: route.send("move", "move", "lind", SignedHow.PIN, bay="1", stands="on_dolly"),
        lambda: route.send("deviation", "T20", "lind", SignedHow.PIN, checkpoint="T20.1", limit="1", **lead),
        lambda: route.send("omit", "A20", "lind", SignedHow.PIN, **lead),
        lambda: route.send("operation_repeat", "C10", "lind", SignedHow.PIN, repeat="T10", reason="Again"),
        lambda: route.send("problem", "C10", "fenn", text="Rust behind the mount"),
        lambda: route.count_kit(TC_ARM=1),
    ]


def test_what_was_refused_or_taken_back_leaves_nothing(route: SmallRoute, kept: KeptRecords) -> None:
    route.up_to("C20")
    assert not route.send("finish", "C20", "fenn").accepted
    assert_same(kept, route)
    with transaction.atomic():
        assert route.send("problem", "C20", "fenn", text="Rust").accepted
        KEPT_RECORDS.load(route.fresh_job())
        kept.load(route.fresh_job())
        transaction.set_rollback(True)
    assert_same(kept, route)


def test_what_one_does_to_its_rows_is_met_by_nobody(route: SmallRoute, kept: KeptRecords) -> None:
    route.up_to("T20")
    mine = kept.load(route.fresh_job())
    for operation in mine.operations:
        operation.job_operation.state = "changed"
        for result in (r for c in operation.checkpoints for r in c.results):
            result.verdict, result.readings = "changed", {}
    assert_same(kept, route)


def test_it_reads_less_than_the_whole(route: SmallRoute, kept: KeptRecords) -> None:
    route.up_to("T20")
    kept.load(route.fresh_job())
    assert route.send("start", "T20", "fenn").accepted
    assert route.read("T20.1").accepted
    job = route.fresh_job()
    with CaptureQueriesContext(connection) as anew:
        kept.load(job)
    with CaptureQueriesContext(connection) as whole:
        JobRecord.load(job)
    assert len(anew) <= len(whole) // 2
    assert_same(kept, route)
