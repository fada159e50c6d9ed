"""Operations added to one car, and operations done once more: every gate holds for them too."""

import pytest
from django.test import Client
from django.urls import reverse

from jobs.bad_input import BadInput
from jobs.models import ProcedureRevision
from jobs.procedures.releasing import release_procedure
from shop.entries import Answer
from shop.models import SignedHow
from shop.revisions import FrozenRevisionError
from shop.verification import verify_record
from tests.jobs.small_route import SmallRoute, assert_accepted

pytestmark = pytest.mark.django_db
RUST = {
    "title": "Let a patch into the rail",
    "stage": "welding",
    "minutes": "90",
    "skill": "structural welding",
    "steps": "Cut out the rust\nFit the patch",
    "reason": "Rust under the paint",
    "c1_kind": "dimension",
    "c1_title": "Patch to datum",
    "c1_asks": "14 ±1/8 in",
    "c1_instrument": "tape",
}


def add(route: SmallRoute, before: str, who: str = "lind", **more: object) -> Answer:
    return route.send("operation_add", before, who, SignedHow.PIN, **{**RUST, **more})


def codes(route: SmallRoute) -> list[str]:
    return [operation.code for operation in route.record.operations]


def test_an_added_operation_stands_before_the_one_that_waits_for_it(route: SmallRoute) -> None:
    route.up_to("W10")
    before = codes(route)
    assert_accepted(add(route, "W10"))
    at = before.index("W10")
    assert codes(route) == [*before[:at], "W11", *before[at:]]
    assert "W11" in route.record.find("W10").after  # type: ignore[union-attr]
    refused = route.send("start", "W10", "fenn")
    assert "after:W11" in str(refused.data)
    assert verify_record().is_whole


def test_it_is_done_like_any_other_and_the_route_goes_on(route: SmallRoute) -> None:
    route.up_to("W10")
    assert_accepted(add(route, "W10"))
    assert_accepted(route.send("start", "W11", "fenn"))
    assert not route.send("finish", "W11", "fenn", SignedHow.PIN).accepted
    reading = {"checkpoint": "W11.1", "value": "14", "instrument": "TP-1"}
    assert route.send("reading", "W11", "fenn", **reading).data["verdict"] == "conforms"
    assert_accepted(route.send("finish", "W11", "fenn", SignedHow.PIN))
    assert_accepted(route.send("start", "W10", "fenn"))


def test_added_hot_work_takes_its_permit_and_its_watch(route: SmallRoute) -> None:
    route.up_to("W10")
    assert_accepted(add(route, "W10", flag_hot_work="yes"))
    added = route.record.find("W11")
    assert [c.checkpoint.proves for c in added.checkpoints] == [["permit"], [], ["fire_watch"]]  # type: ignore[union-attr]
    assert_accepted(route.send("start", "W11", "fenn"))
    reading = {"checkpoint": "W11.2", "value": "14", "instrument": "TP-1"}
    assert "permit" in str(route.send("reading", "W11", "fenn", **reading).data).lower()


def test_an_added_cut_asks_what_every_cut_asks(route: SmallRoute) -> None:
    route.up_to("C10")
    assert_accepted(add(route, "C10", flag_cuts_structure="yes", skill="fabrication"))
    assert not route.send("start", "C11", "fenn").accepted


def test_welding_done_once_more_is_judged_once_more(route: SmallRoute) -> None:
    route.up_to("W50")
    again = {"repeat": "W30", "reason": "The seam was ground out"}
    assert_accepted(route.send("operation_repeat", "W50", "lind", SignedHow.PIN, **again))
    assert_accepted(
        route.send("operation_repeat", "W50", "lind", SignedHow.PIN, **{**again, "repeat": "W40"})
    )
    assert codes(route)[codes(route).index("W40") :][:4] == ["W40", "W31", "W41", "W50"]
    weld = route.record.find("W41").checkpoints[0].checkpoint  # type: ignore[union-attr]
    assert weld.made_in == "W31"
    assert not route.send("start", "W50", "fenn").accepted


def test_what_was_added_never_changes_and_is_nobody_elses(client: Client, route: SmallRoute) -> None:
    route.up_to("W10")
    assert_accepted(add(route, "W10"))
    own = ProcedureRevision.objects.get(for_job=route.job)
    with pytest.raises(FrozenRevisionError):
        own.operations.get().save()
    client.force_login(route.people["lind"])
    assert own.revision not in client.get(reverse("jobs:procedure_list")).content.decode()
    pinned = route.job.procedure_revision
    release_procedure(revision=pinned, by=route.people["lind"], now=route.now)
    assert ProcedureRevision.objects.get(pk=own.pk).state == "released"


@pytest.mark.parametrize(
    ("wrong", "field", "says"),
    [
        ({"title": ""}, "title", "missing"),
        ({"minutes": "-5"}, "minutes", "no whole number"),
        ({"minutes": "10^400"}, "minutes", "no whole number"),
        ({"steps": ""}, "steps", "must name at least one"),
        ({"c1_asks": "fourteen"}, "c1_asks", "limit"),
        ({"c1_instrument": ""}, "c1_instrument", "say what it is measured with"),
        ({"stage": "lunch"}, "stage", "none of"),
    ],
)
def test_what_is_wrong_is_said_at_its_field(
    route: SmallRoute, wrong: dict[str, str], field: str, says: str
) -> None:
    route.up_to("W10")
    with pytest.raises(BadInput) as told:
        add(route, "W10", **wrong)
    assert field in told.value.errors
    assert says in told.value.errors[field]
    assert not ProcedureRevision.objects.filter(for_job=route.job).exists()


def test_only_a_lead_adds_and_only_before_what_has_not_begun(route: SmallRoute) -> None:
    route.up_to("W10")
    assert not add(route, "W10", who="fenn").accepted
    assert "has not begun" in str(add(route, "T10").data)


def test_the_form_stands_on_the_operations_page_for_a_lead(client: Client, route: SmallRoute) -> None:
    client.force_login(route.people["lind"])
    page = client.get(reverse("jobs:job_operation", args=[route.job.number, "W10"])).content.decode()
    assert "Add an operation before this one" in page
    client.force_login(route.people["fenn"])
    page = client.get(reverse("jobs:job_operation", args=[route.job.number, "W10"])).content.decode()
    assert "Add an operation before this one" not in page
