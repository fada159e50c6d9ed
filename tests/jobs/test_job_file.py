"""A job as one file: all that the record holds of it, whole, and its chain to be checked by anybody."""

import base64
import datetime as dt
import json
from typing import Any

import pytest
from django.apps import apps
from django.core.exceptions import FieldDoesNotExist

from jobs.exchange.job_file import job_file
from jobs.exchange.job_rows import rows_of
from jobs.models import Job
from jobs.procedures.file import read_procedure
from parts.models import KitAnswer
from shop.canonical import canonical_bytes, sha256_of
from shop.events import row_digest, row_name
from shop.models import ShopSettings, SignedHow
from tests.jobs.desk import Desk
from tests.jobs.kit_lists import CRADLE, decide_list, release_list
from tests.jobs.money.till import ask_extra, offered
from tests.jobs.small_route import SmallRoute, assert_accepted
from tests.jobs.test_additions import add
from tests.jobs.test_deviations import issue

pytestmark = pytest.mark.django_db


@pytest.fixture
def route(route: SmallRoute) -> SmallRoute:
    Job.objects.update(wishes="Straight.\nNo = signs\\n, please.")
    return route


def told(route: SmallRoute) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(job_file(Job.objects.get(pk=route.job.pk)))
    return found


def test_a_job_goes_out_as_one_file_whose_chain_holds(route: SmallRoute) -> None:
    route.up_to("T20")
    assert_accepted(route.send("start", "T20", "fenn"))
    assert_accepted(route.send("problem", "T20", "fenn", SignedHow.TURN, text="Rust inside"))
    said = told(route)
    assert said["format"] == 1
    previous = ""
    for event in said["events"]:
        payload = base64.b64decode(event["payload_base64"])
        assert json.loads(payload) == event["payload"]
        assert event["previous_hash"] == previous
        at = dt.datetime.fromisoformat(event["recorded_at"])
        parts = (previous, route.job.stream, str(event["sequence"]), event["kind"])
        chained = sha256_of(
            *(p.encode() for p in parts), canonical_bytes(at), (event["entry"] or "").encode(), payload
        )
        assert chained == event["hash"]
        previous = event["hash"]
    named = {name: digest for event in said["events"] for name, digest in event["payload"]["rows"].items()}
    here = {row["row"]: row["digest"] for row in [*said["rows"], *said["entries"]]}
    assert {"jobs.result", "jobs.nonconformance", "jobs.joboperation", "jobs.authority"} <= {
        n.split(":")[0] for n in here
    }
    assert all(named[name] == digest for name, digest in here.items())
    assert "given_by" not in json.dumps(said["rows"])
    assert said["job"]["fields"]["wishes"] == "Straight.\nNo = signs\\n, please."


def test_what_was_decided_about_its_kit_list_stands_in_it_with_what_came_of_it(route: SmallRoute) -> None:
    route.up_to("W30")
    release_list(route, CRADLE)
    assert_accepted(decide_list(route, KitAnswer.REWORK))
    said = told(route)
    (decision,) = (row["fields"] for row in said["rows"] if row["row"].startswith("parts.kitdecision:"))
    assert (decision["answer"], decision["again"]) == ("rework", {"W20": "W21"})
    assert said["named"][f"parts.kitrevision:{decision['to_revision_id']}"] == "KIT-9 B"
    (addition,) = (row["fields"] for row in said["rows"] if row["row"].startswith("jobs.addition:"))
    assert addition["entry_id"] == decision["entry_id"]
    assert said["entries"][-1]["row"] == f"shop.entry:{decision['entry_id']}"


def much_happened(route: SmallRoute) -> None:
    """One of whatever a route can get beside its readings."""
    offered(route)
    ask_extra(route)
    route.up_to("C10")
    assert_accepted(issue(route, limit="30 ±1/16 in"))
    assert_accepted(add(route, "C20"))
    assert_accepted(route.send("start", "C10", "fenn", SignedHow.TURN))
    assert_accepted(route.send("note", "C10/note/1", "fenn", SignedHow.TURN, text="Rail 3 mm off"))
    too_far = {"checkpoint": "C10.1", "value": "29 1/2", "instrument": "TP-1"}
    assert_accepted(route.send("reading", "C10", "fenn", **too_far))


def test_nothing_that_refers_to_a_job_is_left_out(route: SmallRoute) -> None:
    """Walked from the other end: every row of evidence in the shop, by whatever leads it to a job."""
    much_happened(route)
    said = told(route)
    here = {row["row"] for row in said["rows"]}
    models = {name.split(":")[0] for name in here}
    assert {
        "jobs.addition",
        "jobs.deviation",
        "jobs.estimateline",
        "jobs.extrawork",
        "jobs.bookedtime",
    } <= models
    assert {"jobs.worknote", "jobs.nonconformance"} <= models
    evidence = [m for m in apps.get_models() if getattr(m, "is_evidence", False)]
    of_one_job = [m for m in evidence if m._meta.app_label == "jobs" and leads_to_a_job(m)]
    assert len(of_one_job) > 20
    there = {row_name(row) for model in of_one_job for row in model._base_manager.all()}
    assert there - {row_name(route.job)} == here


def leads_to_a_job(model: Any, seen: frozenset[Any] = frozenset()) -> bool:
    if model is Job:
        return True
    ahead = [f.related_model for f in model._meta.concrete_fields if f.is_relation]
    return any(
        getattr(near, "is_evidence", False) and near not in seen and leads_to_a_job(near, seen | {model})
        for near in ahead
    )


def test_each_row_reads_back_as_it_is_here(route: SmallRoute) -> None:
    much_happened(route)
    said = told(route)
    here = {row_name(row): row for row in rows_of(route.job)}
    for row in said["rows"]:
        model = apps.get_model(row["row"].split(":")[0])
        again = model(**{name: read_back(model, name, value) for name, value in row["fields"].items()})
        assert row_digest(again) == row["digest"] == row_digest(here[row["row"]])


def read_back(model: Any, name: str, value: Any) -> Any:
    try:
        return model._meta.get_field(name).to_python(value)
    except FieldDoesNotExist:
        return model._meta.get_field(name.removesuffix("_id")).to_python(value)


def test_what_was_added_to_the_car_and_what_rows_name_stands_in_full(route: SmallRoute) -> None:
    much_happened(route)
    said = told(route)
    own, pinned = sorted(said["procedures"], key=lambda each: not each["for_this_car"])
    assert (pinned["code"], pinned["revision"], pinned["for_this_car"]) == ("P-9", "A", False)
    data, _remarks = read_procedure(pinned["file"].encode(), settings=ShopSettings.current())
    assert len(data.operations) == 13
    assert "Let a patch into the rail" in own["file"]
    results = [row["fields"] for row in said["rows"] if row["row"].startswith("jobs.result:")]
    assert {said["named"][f"shop.instrument:{r['instrument_id']}"] for r in results if r["instrument_id"]}
    (off,) = [r for r in results if r["verdict"] == "does_not_conform"]
    assert said["named"][f"jobs.checkpoint:{off['checkpoint_id']}"] == "C10.1 of P-9 A"
    assert said["people"][str(off["person_id"])]["username"] == "fenn"
    asked = {r["fields"]["asked_by_id"] for r in said["rows"] if r["row"].startswith("jobs.extrawork:")}
    assert {str(pk) for pk in asked} <= set(said["people"])


def test_it_is_not_given_out_while_it_would_show_a_reading_that_is_hidden(route: SmallRoute) -> None:
    route.up_to("C10")
    desk, file = Desk(route, "lind"), f"/jobs/{route.job.number}/record.json"
    assert desk.client.get(file)["Content-Type"] == "application/json"
    route.send("start", "C10", "fenn")
    assert_accepted(route.read("C10.1", value="29 17/32"))
    refused = desk.client.get(file)
    assert refused.status_code == 302
    papers = desk.page(refused["Location"])
    assert "would show the first reading of C10.1" in papers
    assert file not in papers
    assert_accepted(route.read("C10.2", "moss"))
    assert desk.client.get(file)["Content-Type"] == "application/json"
