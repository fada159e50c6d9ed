"""A record that is kept says what one says that is read anew, whatever was recorded meanwhile."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from jobs.demo.kept_record import KeptRecord
from jobs.models import Job
from jobs.record import JobRecord
from shop.models import SignedHow
from tests.jobs.small_route import SmallRoute

Told = dict[str, object]


def told(record: JobRecord) -> Told:
    """Everything that gates and pages ask of a record."""
    return {
        "operations": [(o.code, o.state, o.job_operation.started_at) for o in record.operations],
        "checkpoints": [(c.code, c.state, [r.pk for r in c.results]) for c in record.checkpoints],
        "nonconformances": [(n.number, n.disposition, n.closed_at) for n in record.nonconformances],
        "overrides": [o.pk for o in record.overrides],
        "authorities": [a.pk for a in record.authorities],
        "kit": record.kit,
        "last": dict(record.last_entries),
        "starters": dict(record.starters),
    }


def the_job(route: SmallRoute) -> Job:
    return Job.objects.select_related("kit_order").get(pk=route.job.pk)


@pytest.fixture
def kept(route: SmallRoute) -> KeptRecord:
    kept = KeptRecord()
    kept(the_job(route))
    return kept


def assert_same(kept: KeptRecord, route: SmallRoute) -> None:
    assert told(kept(the_job(route))) == told(JobRecord.load(the_job(route)))


def test_it_follows_a_car_along_its_way(route: SmallRoute, kept: KeptRecord) -> None:
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


def test_it_reads_less_than_the_whole(route: SmallRoute, kept: KeptRecord) -> None:
    route.up_to("T20")
    kept(the_job(route))
    assert route.send("start", "T20", "fenn").accepted
    assert route.read("T20.1").accepted
    job = the_job(route)
    with CaptureQueriesContext(
        connection,
    ) as anew:
        kept(job)
    with CaptureQueriesContext(connection) as whole:
        JobRecord.load(job)
    assert len(anew) <= len(whole) // 2
    assert_same(kept, route)
