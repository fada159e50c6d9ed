"""No order of entries takes a car past a gate that does not hold, and the record stays whole.

What must hold is written out here a second time, by operation of the short route and straight from the
rows, so that a fault of the gates is not repeated by its test.
"""

import datetime as dt
import random
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from jobs.bad_input import BadInput
from jobs.models import Authority, Job, JobOperation, Override, Result
from jobs.record import JobRecord, OperationStanding
from parts.models import ReceiptLine
from shop.canonical import canonical_bytes
from shop.models import Entry, Event, Outcome, SignedHow
from shop.verification import verify_record
from tests.jobs.small_route import GOOD, NOW, SmallRoute

MUST_BE_CLOSED = {
    "C20": ("I10.1", "T20.1", "T20.2", "C10.1", "C10.2"),
    "W30": ("W10.1", "W10.2", "W20.2"),
    "W50": ("W40.1",),
    "A10": ("W30.3", "W40.1", "W40.2"),
    "A20": ("A10.1",),
    "L10": ("A10.1", "A10.2", "A10.3", "A10.4", "A20.1", "A20.2"),
}
MAY_BE_SET_ASIDE = {"I10.1", "W10.1", "W10.2", "W20.2", "W40.2"}
PERMITS = {"C20": "C20.1", "W20": "W20.1", "W30": "W30.1"}
ORDER = ("I10", "T10", "T20", "C10", "C20", "W10", "W20", "W30", "W40", "W50", "A10", "A20", "L10")
ZONE = ZoneInfo("America/Chicago")
BAD = {"value": "1000", "left": "99", "go": "no", "count": "11", "criterion_1": "no"}


def in_force(code: str) -> Result | None:
    last = Result.objects.filter(checkpoint__code=code).order_by("-pk").first()
    if last is None or hasattr(last, "reopening"):
        return None
    return last if last.verdict == "conforms" or hasattr(last, "acceptance") else None


def set_aside(operation: str, code: str) -> bool:
    return (
        code in MAY_BE_SET_ASIDE
        and Override.objects.filter(
            job_operation__operation__code=operation, reason_code=f"open:{code}"
        ).exists()
    )


def faults_before(route: SmallRoute, operation: str, kind: str, checkpoint: str) -> list[str]:
    """What does not hold before work on an operation, straight from the rows."""
    job = Job.objects.get(pk=route.job.pk)
    faults = []
    if operation in {"T10", "C20"} and kind == "start":
        if not Authority.objects.filter(job=job, allows_cutting=True).exists():
            faults.append("authority")
        if not ReceiptLine.objects.filter(receipt__order=job.kit_order).exists():
            faults.append("kit not counted")
    permit = PERMITS.get(operation)
    if checkpoint == permit:
        return faults
    for code in MUST_BE_CLOSED.get(operation, ()):
        result = in_force(code)
        if result is None and not set_aside(operation, code):
            faults.append(code)
        if result and code.startswith("T20") and job.moved_at and result.recorded_at < job.moved_at:
            faults.append(f"{code} before the car was moved")
    if permit and kind == "reading" and checkpoint != "W30.3":
        given_on = in_force(permit)
        today = route.now.astimezone(ZONE).date()
        if given_on is None or given_on.recorded_at.astimezone(ZONE).date() != today:
            faults.append(permit)
    if checkpoint == "W30.3":
        faults += watch_faults(route)
    return faults


def watch_faults(route: SmallRoute) -> list[str]:
    hot = [
        *JobOperation.objects.filter(operation__code__in=PERMITS, started_at__isnull=False).values_list(
            "started_at", flat=True
        ),
        *Result.objects.filter(checkpoint__operation__code__in=PERMITS)
        .exclude(checkpoint__code__in=[*PERMITS.values(), "W30.3"])
        .values_list("recorded_at", flat=True),
    ]
    return [] if hot and route.now - max(hot) >= dt.timedelta(minutes=60) else ["watch"]


Sent = tuple[str, str, str, str, dict[str, Any]]


def step(route: SmallRoute, pick: random.Random) -> None:
    """One entry: most often what comes next, now and then anything at all."""
    record = route.record
    operation = record.in_hand
    if operation is None or pick.random() < 0.25:
        operation = record.find(pick.choice(ORDER))
    assert operation is not None
    kind, code, who, how, payload = aside(route, record, pick) or onward(operation, pick)
    checkpoint = str(payload.get("checkpoint", "")) if kind in {"reading", "witness"} else ""
    faults = faults_before(route, code, kind, checkpoint)
    try:
        if checkpoint == "W50.1":
            answer = route.photograph(checkpoint, who)
        else:
            answer = route.send(kind, code, who, how, **payload)
    except BadInput:
        return
    if kind in {"start", "reading", "witness", "finish"} and answer.accepted:
        assert not faults, (kind, code, checkpoint, faults)
    route.later(minutes=pick.choice([0, 1, 5, 61]) if pick.random() < 0.97 else 24 * 60)


def aside(route: SmallRoute, record: JobRecord, pick: random.Random) -> Sent | None:
    """What is not the next step: a decision, a joint loosened, a gate set aside, the car moved."""
    waiting = [n for n in record.open_nonconformances if not n.disposition]
    if waiting and pick.random() < 0.7:
        payload = {
            "nonconformance": str(waiting[0].number),
            "reason": "r",
            "disposition": pick.choice(["rework", "use_as_is", "scrap_reorder"]),
            "second": route.people["lind"].pk,
        }
        return "disposition", waiting[0].job_operation.operation.code, "thorn", SignedHow.PIN, payload
    chance = pick.random()
    if chance < 0.08:
        joint = pick.choice(["A10.1", "A10.3", "A10.4", "A20.1"])
        return "loosen", joint.split(".")[0], "fenn", SignedHow.TURN, {"checkpoint": joint, "reason": "r"}
    if chance < 0.16:
        every = [c for codes in MUST_BE_CLOSED.values() for c in codes]
        payload = {"reason_code": pick.choice(["authority", *(f"open:{c}" for c in every)]), "reason": "r"}
        return "override", pick.choice(ORDER), pick.choice(["lind", "ash"]), SignedHow.PIN, payload
    if chance < 0.20:
        stands = pick.choice(["on_dolly", "on_stands", "on_wheels"])
        return "move", "move", "lind", SignedHow.TURN, {"bay": "1", "stands": stands}
    return None


def onward(operation: OperationStanding, pick: random.Random) -> Sent:
    """The next step of an operation, by anybody, now and then with a bad reading."""
    who = pick.choice(["fenn", "fenn", "fenn", "moss", "lind", "thorn", "wren"])
    how = pick.choice([SignedHow.TURN, SignedHow.PIN])
    if operation.state == "waiting":
        return "start", operation.code, who, how, {}
    if not operation.open_checkpoints and pick.random() < 0.8:
        return "finish", operation.code, pick.choice(["fenn", "thorn", "lind", "wren"]), how, {}
    standings = operation.open_checkpoints or operation.checkpoints
    checkpoint = pick.choice([c.code for c in standings])
    payload: dict[str, Any] = {"checkpoint": checkpoint, **GOOD[checkpoint], "reason": pick.choice(["", "r"])}
    for name in payload.keys() & BAD.keys():
        if pick.random() < 0.1:
            payload[name] = BAD[name]
    return "witness" if checkpoint == "C10.2" else "reading", operation.code, who, how, payload


@pytest.mark.django_db
@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(seed=st.integers(0, 2**32), begin=st.sampled_from(["I10", "C10", "W10", "W30", "A10", "A20"]))
def test_no_order_of_entries_passes_a_gate_that_does_not_hold(seed: int, begin: str) -> None:
    with transaction.atomic():
        route = SmallRoute()
        route.up_to(begin)
        pick = random.Random(seed)
        for _number in range(45):
            step(route, pick)
        verified = verify_record()
        assert verified.is_whole, verified.findings
        tamper_is_found(pick)
        transaction.set_rollback(True)


def tamper_is_found(pick: random.Random) -> None:
    event = pick.choice(list(Event.objects.filter(stream__startswith="job/")))
    changed = bytearray(event.payload)
    changed[pick.randrange(len(changed))] ^= pick.randrange(1, 256)
    Event.objects.filter(pk=event.pk).update(payload=bytes(changed))
    assert not verify_record().is_whole
    Event.objects.filter(pk=event.pk).update(payload=bytes(event.payload))


@pytest.mark.django_db
def test_every_entry_twice_leaves_the_same_record_as_once(route: SmallRoute) -> None:
    route.up_to("C10")
    count = Entry.objects.filter(outcome=Outcome.ACCEPTED).count()
    from jobs.recording import FloorEntry, record_entry

    for entry in list(Entry.objects.filter(stream=route.job.stream, outcome=Outcome.ACCEPTED)):
        sent = FloorEntry(
            entry.pk,
            route.job.number,
            entry.subject,
            entry.kind,
            entry.signer,
            entry.signed_how,
            saw=entry.saw_id,
            payload={**entry.payload, **entry.personal},
        )
        answer = record_entry(sent, now=NOW + dt.timedelta(days=3))
        assert answer.repeated
        assert canonical_bytes(dict(answer.data)) == canonical_bytes(entry.answer)
    assert Entry.objects.filter(outcome=Outcome.ACCEPTED).count() == count
    assert verify_record().is_whole
