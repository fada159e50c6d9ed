"""A large shop, made from the demo by copying its jobs; only for measuring, so without events of its own."""

import shutil
import uuid
from collections.abc import Callable, Iterable
from typing import Any

from django.conf import settings
from django.core.signing import get_cookie_signer
from django.db import connection, models, transaction
from django.test import Client
from django.utils import timezone

from jobs.models import Authority, Job, JobOperation, Nonconformance, OperationState, Result
from parts.models import KitOrder
from shop import tablets
from shop.models import Bay, Entry, Event, Outcome, Person, StreamHead, Turn

FIRST_NUMBER = 20_000
PER_GO = 400


@transaction.atomic
def on_the_floor(*, cars: int) -> None:
    """Until that many cars stand in the shop, each as far as the one it was copied from."""
    originals = list(Job.objects.on_the_floor().filter(number__lt=FIRST_NUMBER))
    bays = Bay.objects.count()
    for n in range(cars - len(originals)):
        original = originals[n % len(originals)]
        bay = Bay.objects.create(number=bays + n + 1, name=f"Bay {bays + n + 1}")
        copy = _copy_of_job(original, number=FIRST_NUMBER + n, bay=bay)
        _copy_work(original, copy)


@transaction.atomic
def released(*, jobs: int) -> None:
    """Until the shop has that many jobs, the copied ones handed over, with their operations."""
    original = Job.objects.on_the_floor().order_by("number").filter(number__lt=FIRST_NUMBER).last()
    assert original is not None
    missing = jobs - Job.objects.count()
    now = timezone.now()
    for n in range(missing):
        copy = _copy_of_job(original, number=FIRST_NUMBER + 10_000 + n, bay=None)
        Job.objects.filter(pk=copy.pk).update(released_at=now)
        _copy(JobOperation.objects.filter(job=original), job_id=copy.pk)


@transaction.atomic
def history(*, times: int) -> None:
    """Entries and events of other streams with their ends, until there are that many times as many."""
    heads = [head for head in StreamHead.objects.all() if head.stream.startswith(("job/", "order/"))]
    for n in range(times - 1):
        ends = [StreamHead(stream=f"{h.stream}~{n}", sequence=h.sequence, hash=h.hash) for h in heads]
        StreamHead.objects.bulk_create(ends)
    for model in (Entry, Event):
        rows = list(model.objects.all())
        for n in range(times - 1):
            for row in rows:
                row.pk = uuid.uuid4() if model is Entry else None
                row.stream = f"{row.stream.split('~')[0]}~{n}"
                row._state.adding = True
                if isinstance(row, Event):
                    row.entry = None
            model.objects.bulk_create(rows, batch_size=PER_GO)  # type: ignore[attr-defined]


def copy_to(ending: str) -> None:
    """The database as it is, beside it."""
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    shutil.copyfile(connection.settings_dict["NAME"], connection.settings_dict["NAME"] + ending)


def go_over_to(ending: str) -> None:
    """Ask the copy of that ending from now on; the first database where it is empty."""
    connection.close()
    connection.settings_dict["NAME"] = f"{settings.VAR_DIR}/db.sqlite3{ending}"
    connection.ensure_connection()


def _copy_of_job(original: Job, *, number: int, bay: Bay | None) -> Job:
    order = KitOrder.objects.get(pk=original.kit_order_id)
    order.pk, order.number = None, f"B-{number}"
    order.save(force_insert=True)
    copy = Job.objects.get(pk=original.pk)
    copy.pk, copy.number, copy.kit_order, copy.bay = None, number, order, bay
    copy.save(force_insert=True)
    return copy


def _copy_work(original: Job, copy: Job) -> None:
    entries = list(Entry.objects.filter(stream=original.stream).order_by("position"))
    old_entries = [entry.pk for entry in entries]
    for entry in entries:
        entry.pk, entry.stream, entry.saw = uuid.uuid4(), copy.stream, None
        entry._state.adding = True
    Entry.objects.bulk_create(entries, batch_size=PER_GO)
    new_entry = dict(zip(old_entries, (entry.pk for entry in entries), strict=True))
    operations = _copy(JobOperation.objects.filter(job=original), job_id=copy.pk)
    rows = Result.objects.filter(job_operation__job=original)
    _copy(
        rows,
        supersedes_id=None,
        job_operation_id=lambda row: operations[row.job_operation_id],
        entry_id=lambda row: new_entry[row.entry_id],
    )
    _copy(
        Authority.objects.filter(job=original), job_id=copy.pk, entry_id=lambda row: new_entry[row.entry_id]
    )
    _copy(
        Nonconformance.objects.filter(job=original),
        job_id=copy.pk,
        result_id=None,
        job_operation_id=lambda row: operations[row.job_operation_id],
        entry_id=lambda row: new_entry[row.entry_id],
    )


def _copy(rows: Iterable[models.Model], **changed: Any | Callable[[Any], Any]) -> dict[int, int]:
    """Copies of rows with some columns changed; the new key by the old one."""
    copies = list(rows)
    if not copies:
        return {}
    old = [row.pk for row in copies]
    for row in copies:
        for name, value in changed.items():
            setattr(row, name, value(row) if callable(value) else value)
        row.pk = None
        row._state.adding = True
    made = type(copies[0])._base_manager.bulk_create(copies, batch_size=PER_GO)
    return dict(zip(old, (row.pk for row in made), strict=True))


def somebody_at_the_desk() -> Person:
    return Person.objects.get(username="keel")


def at_the_tablet(number: int, username: str) -> Client:
    """The tablet of the bay in which a job stands, with somebody in turn."""
    job, person, now = Job.objects.get(number=number), Person.objects.get(username=username), timezone.now()
    assert job.bay is not None
    tablet, token = tablets.assign(job.bay, by=somebody_at_the_desk(), now=now)
    Turn.objects.create(tablet=tablet, person=person, started_at=now)
    client = Client()
    client.cookies[tablets.COOKIE] = get_cookie_signer(salt=tablets.COOKIE + tablets.SALT).sign(token)
    return client


def in_work(number: int, code: str) -> Job:
    """A job with an operation in work, whatever its gates say."""
    waiting = JobOperation.objects.filter(job__number=number, operation__code=code)
    waiting.update(state=OperationState.IN_WORK, started_at=timezone.now())
    return Job.objects.get(number=number)


def last_seen(job: Job, subject: str) -> str:
    found = Entry.objects.filter(stream=job.stream, subject=subject, outcome=Outcome.ACCEPTED).order_by(
        "position"
    )
    return str(found.values_list("pk", flat=True).last() or "")
