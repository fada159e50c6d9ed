"""A new shop: its floor says what comes before the first car; procedure and kit are written from nothing."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs.models import Procedure, ProcedureDraft
from jobs.procedures.draft_tree import text_of, tree_of
from jobs.procedures.drafting import state_of
from parts.models import KitDefinition, KitDraft
from shop.keeping import keep
from shop.models import Bay, Person, Role
from shop.verification import verify_record
from tests.factories import PersonFactory
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db
HEAD = {"code": "fc-300", "name": "Test clip", "kit": "KIT-300", "vehicle_family": "Test cars"}
PART = {
    "part_number": "TC-1",
    "description": "Cradle",
    "quantity": "1",
    "operation": "W20",
    "critical": "yes",
}
KIT = {"kit": "KIT-300", "kit_name": "Test kit", "supplier": "Test supplier", **PART}


@pytest.fixture
def manager() -> Person:
    made: Person = PersonFactory(role=Role.MANAGER)
    return made


@pytest.fixture
def desk(manager: Person, client: Client) -> Client:
    client.force_login(manager)
    return client


def steps_of(client: Client) -> dict[str, Any]:
    return {step.what: step for step in client.get(reverse("jobs:floor")).context["page"].first_steps}


def test_the_floor_of_a_new_shop_says_what_comes_first(desk: Client, manager: Person) -> None:
    steps = steps_of(desk)
    assert list(steps)[-1] == "Open the first job"
    assert not any(step.is_done for step in steps.values())
    assert all(desk.get(step.href).status_code == 200 for step in steps.values())
    keep(Bay(number=1, name="Press"), changed=["name"], added=True, by=manager, now=timezone.now())
    assert [what for what, step in steps_of(desk).items() if step.is_done] == ["Add the bays"]


def test_others_see_who_does_it(client: Client) -> None:
    client.force_login(PersonFactory(role=Role.FABRICATOR))
    step = steps_of(client)["Add the bays"]
    assert (step.href, step.who) == ("", "Manager")


def test_opening_a_job_says_what_is_missing_for_it(desk: Client) -> None:
    page = desk.get(reverse("jobs:job_open")).content.decode()
    assert "No procedure is released yet" in page
    assert "No kit order is free" in page


def test_a_shop_that_has_had_a_car_is_not_new() -> None:
    route, client = SmallRoute(), Client()
    client.force_login(route.people["ash"])
    assert steps_of(client) == {}


def test_a_procedure_is_begun_by_the_usual_route_with_its_figures_open(desk: Client) -> None:
    answer = desk.post(reverse("jobs:procedure_new"), {**HEAD, "route": "usual"})
    assert answer.headers["Location"] == reverse("jobs:procedure_draft", args=("FC-300", "A"))
    state = state_of(ProcedureDraft.objects.get())
    assert len(state.draft.versions.all()) == 2
    assert all("is missing" in error.message or "needs" in error.message for error in state.errors)
    assert state_of(state.draft, text=text_of(filled_in(tree_of(state.text)))).errors == ()
    assert desk.get(answer.headers["Location"]).status_code == 200
    assert verify_record().is_whole


def filled_in(tree: Any) -> Any:
    """The usual route with what the shop and the kit maker's sheet say; nothing else is changed."""
    limits = {"level": "≤ 0.5°", "tape": "29 1/2 ±1/8 in", "torque_wrench_click": "65 ±10 % lbf·ft"}
    for operation in tree["operations"]:
        operation["minutes"] = "60"
        for checkpoint in operation["checkpoints"]:
            if checkpoint["kind"] == "witness":
                checkpoint["agree"] = "≤ 1/8 in"
            elif checkpoint["kind"] == "count":
                checkpoint["count"] = "12"
            elif "instrument" in checkpoint and "records" not in checkpoint:
                checkpoint["limit"] = limits[checkpoint["instrument"]]
    return tree


def test_a_procedure_is_begun_with_one_operation_and_can_be_kept(desk: Client) -> None:
    desk.post(reverse("jobs:procedure_new"), {**HEAD, "route": "one"})
    state = state_of(ProcedureDraft.objects.get())
    assert state.errors == ()
    answer = desk.post(reverse("jobs:procedure_draft", args=("FC-300", "A")), {"action": "keep", "seen": "1"})
    assert answer.headers["Location"] == reverse("jobs:procedure_release", args=("FC-300", "A"))


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"code": "no blanks"}, "id_code_error"),
        ({"kit": ""}, "id_kit_error"),
        ({"route": "x"}, "id_route_error"),
    ],
)
def test_a_head_that_cannot_be_is_told_beside_its_field(
    changed: dict[str, str], told: str, desk: Client
) -> None:
    answer = desk.post(reverse("jobs:procedure_new"), {**HEAD, "route": "one", **changed})
    assert answer.status_code == 422
    assert told in answer.content.decode()
    assert 'value="Test cars"' in answer.content.decode()
    assert not Procedure.objects.exists()


def test_a_code_that_is_here_already_is_no_new_procedure_and_no_new_kit(desk: Client) -> None:
    desk.post(reverse("jobs:procedure_new"), {**HEAD, "route": "one"})
    desk.post(reverse("parts:kit_new"), KIT)
    for name, sent in (("jobs:procedure_new", {**HEAD, "route": "one"}), ("parts:kit_new", KIT)):
        answer = desk.post(reverse(name), sent)
        assert answer.status_code == 422
        assert "is here already" in answer.content.decode()
    assert (ProcedureDraft.objects.count(), KitDraft.objects.count()) == (1, 1)


def test_a_kit_list_is_begun_with_its_first_part(desk: Client) -> None:
    answer = desk.post(reverse("parts:kit_new"), KIT)
    assert answer.headers["Location"] == reverse("parts:kit_draft", args=("KIT-300", "A"))
    assert "TC-1" in desk.get(answer.headers["Location"]).content.decode()
    assert verify_record().is_whole


def test_a_part_that_cannot_be_is_told_beside_its_field(desk: Client) -> None:
    answer = desk.post(reverse("parts:kit_new"), {**KIT, "quantity": "many", "operation": "first"})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert 'value="many"' in page
    assert 'value="KIT-300"' in page
    assert len(answer.context["errors"]) == 2
    assert not KitDefinition.objects.exists()
