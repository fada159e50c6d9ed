"""No order of entries takes a car past a gate that does not hold, and the record stays whole.

What must hold is written out a second time in `second_gates`, so that a fault of the gates is not repeated
by its test. The car stands at one place of the route; what is tried from there is undone.
"""

import random
from typing import Any

import pytest
from django.db import transaction
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from jobs.bad_input import BadInput
from jobs.kept_records import KEPT_RECORDS
from jobs.record import CheckpointStanding, JobRecord, OperationStanding
from parts.models import KitAnswer, KitRevision
from shop.models import Event, SignedHow
from shop.verification import verify_record
from tests.jobs.kit_lists import BOLT, CRADLE, decide_list, release_list
from tests.jobs.record_differences import differs
from tests.jobs.second_gates import MUST_BE_CLOSED, OWN_LIMITS, SecondGates
from tests.jobs.short_files import GOOD
from tests.jobs.small_route import SmallRoute
from tests.jobs.test_additions import RUST

BAD = {"value": "1000", "left": "99", "go": "no", "count": "11", "criterion_1": "no"}
MOST_ADDED = 4
FLAGS: tuple[dict[str, str], ...] = (
    {},
    {"flag_hot_work": "yes"},
    {"flag_hot_work": "yes", "flag_cuts_structure": "yes"},
)
Sent = tuple[str, str, str, str, dict[str, Any]]


def step(route: SmallRoute, pick: random.Random) -> None:
    """One entry: most often what comes next, now and then anything at all."""
    newer_list(route, pick)
    record = route.record
    known = KEPT_RECORDS.load(route.fresh_job())
    assert not (difference := differs(known, record)), difference
    operation = record.in_hand
    if operation is None or pick.random() < 0.25:
        operation = pick.choice(record.operations)
    kind, code, who, how, payload = (
        aside(route, record, pick) or change(route, record, pick) or onward(record, operation, pick)
    )
    checkpoint = str(payload.get("checkpoint", "")) if kind in {"reading", "witness"} else ""
    is_work = kind in {"start", "reading", "witness", "finish"}
    gates = SecondGates(route.job, route.now) if is_work or kind == "omit" else None
    faults = gates.faults_before(code, kind, checkpoint) if gates and is_work else []
    try:
        if checkpoint and record.find_checkpoint(checkpoint).checkpoint.kind == "photo":  # type: ignore[union-attr]
            answer = route.photograph(checkpoint, who)
        else:
            answer = route.send(kind, code, who, how, **payload)
    except BadInput:
        return
    if is_work and answer.accepted:
        assert not faults, (kind, code, checkpoint, faults)
    if kind == "omit" and answer.accepted:
        assert gates is not None
        assert gates.may_be_left_out(code), code
    route.later(minutes=pick.choice([0, 1, 5, 61]) if pick.random() < 0.97 else 24 * 60)


def newer_list(route: SmallRoute, pick: random.Random) -> None:
    """Now and then another kit list is released, or somebody decides about the one that was."""
    in_force = KitRevision.objects.get(state="released")
    if pick.random() < 0.05:
        release_list(route, pick.choice([BOLT, CRADLE]), name=f"R{in_force.pk}")
    elif pick.random() < 0.15 and in_force != route.fresh_job().kit_order.kit_revision:
        answer = decide_list(route, pick.choice(list(KitAnswer)), to=in_force.revision)
        if answer.accepted:
            SecondGates(route.job, route.now).check_rework()


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
    if chance < 0.07:
        joints = [c for c in record.checkpoints if c.checkpoint.is_joint]
        joint = pick.choice(joints).code
        return "loosen", joint.split(".")[0], "fenn", SignedHow.TURN, {"checkpoint": joint, "reason": "r"}
    if chance < 0.14:
        every = [c for codes in MUST_BE_CLOSED.values() for c in codes]
        codes = [*every, *(c.code for c in record.checkpoints)]
        payload = {"reason_code": pick.choice(["authority", *(f"open:{c}" for c in codes)]), "reason": "r"}
        return "override", anywhere(record, pick), pick.choice(["lind", "ash"]), SignedHow.PIN, payload
    if chance < 0.17:
        stands = pick.choice(["on_dolly", "on_stands", "on_wheels"])
        return "move", "move", "lind", SignedHow.TURN, {"bay": "1", "stands": stands}
    return None


def anywhere(record: JobRecord, pick: random.Random, state: str = "") -> str:
    """The code of any operation, or of one in that state where there is one."""
    some = [o for o in record.operations if not state or o.state == state]
    return pick.choice(some or list(record.operations)).code


def change(route: SmallRoute, record: JobRecord, pick: random.Random) -> Sent | None:
    """What is changed about the route of this car: a limit, an operation left out, added, done once more."""
    chance = pick.random()
    signed = {"reason": "r", "second": route.people["lind"].pk}
    if chance < 0.05:
        found = [c for c in record.checkpoints if root_of(record, c) in OWN_LIMITS]
        at = pick.choice(found)
        limit = OWN_LIMITS[root_of(record, at)][0]
        payload = {"checkpoint": at.code, "limit": limit, "text": "t", **signed}
        return "deviation", at.code.split(".")[0], "thorn", SignedHow.PIN, payload
    if chance < 0.07 and record.deviations:
        row = pick.choice(record.deviations)
        payload = {"deviation": str(row.number), "reason": "r"}
        return "deviation_withdraw", row.job_operation.operation.code, "lind", SignedHow.PIN, payload
    if chance < 0.10:
        return "omit", anywhere(record, pick, "waiting"), "thorn", SignedHow.PIN, signed
    if chance < 0.12:
        return "omit_take_back", anywhere(record, pick, "not_applicable"), "lind", SignedHow.PIN, {}
    if chance < 0.17 and sum(o.is_added for o in record.operations) < MOST_ADDED:
        before = anywhere(record, pick, "waiting")
        if pick.random() < 0.7:
            payload = {"repeat": anywhere(record, pick, "finished"), "reason": "r"}
            return "operation_repeat", before, "lind", SignedHow.PIN, payload
        return "operation_add", before, "lind", SignedHow.PIN, {**RUST, **pick.choice(FLAGS)}
    return None


def root_of(record: JobRecord, standing: CheckpointStanding) -> str:
    """The checkpoint of the short route that one stands for; empty for what was added."""
    code, _dot, number = standing.code.partition(".")
    operation = record.find(code)
    while operation is not None and operation.repeats:
        operation = record.find(operation.repeats)
    return f"{operation.code}.{number}" if operation and not operation.is_added else ""


def good(record: JobRecord, standing: CheckpointStanding, pick: random.Random) -> dict[str, str]:
    """A good reading: under the limit that holds most often; a witness reads what the first has read."""
    root = root_of(record, standing)
    found = dict(GOOD.get(root) or ADDED.get(standing.checkpoint.kind, {"go": "yes"}))
    first = record.find_checkpoint(standing.checkpoint.witness_of)
    own = first or standing
    if own.deviation is not None and pick.random() < 0.9:
        found |= OWN_LIMITS.get(root_of(record, own), ("", {}))[1]
    return found


ADDED = {"dimension": {"value": "14", "instrument": "TP-1"}}


def onward(record: JobRecord, operation: OperationStanding, pick: random.Random) -> Sent:
    """The next step of an operation, by anybody, now and then with a bad reading."""
    who = pick.choice(["fenn", "fenn", "fenn", "moss", "lind", "thorn", "wren"])
    how = pick.choice([SignedHow.TURN, SignedHow.PIN])
    if operation.state == "waiting":
        return "start", operation.code, who, how, {}
    if not operation.open_checkpoints and pick.random() < 0.8:
        return "finish", operation.code, pick.choice(["fenn", "thorn", "lind", "wren"]), how, {}
    standing = pick.choice(operation.open_checkpoints or operation.checkpoints)
    payload: dict[str, Any] = {"checkpoint": standing.code, **good(record, standing, pick)}
    payload["reason"] = pick.choice(["", "r"])
    for name in payload.keys() & BAD.keys():
        if pick.random() < 0.1:
            payload[name] = BAD[name]
    kind = "witness" if standing.checkpoint.kind == "witness" else "reading"
    return kind, operation.code, who, how, payload


@pytest.mark.parametrize("begin", ["I10", "C10", "W10", "W30", "W50", "A20"])
@settings(
    max_examples=2,
    deadline=None,
    # A smaller seed makes no shorter way.
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(seed=st.integers(0, 2**32))
def test_no_order_of_entries_passes_a_gate_that_does_not_hold(
    route: SmallRoute, begin: str, seed: int
) -> None:
    route.up_to(begin)
    then, pick = route.now, random.Random(seed)
    with transaction.atomic():
        for _number in range(25):
            step(route, pick)
        verified = verify_record()
        assert verified.is_whole, verified.findings
        tamper_is_found(pick)
        transaction.set_rollback(True)
    route.now = then


def tamper_is_found(pick: random.Random) -> None:
    event = pick.choice(list(Event.objects.filter(stream__startswith="job/")))
    changed = bytearray(event.payload)
    changed[pick.randrange(len(changed))] ^= pick.randrange(1, 256)
    Event.objects.filter(pk=event.pk).update(payload=bytes(changed))
    assert not verify_record().is_whole
