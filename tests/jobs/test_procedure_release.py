"""Releasing a draft at a desk: asked first, by those who may, once."""

import pytest
from django.urls import reverse

from jobs.models import ProcedureRevision
from jobs.procedures.bringing_in import bring_in_procedure
from shop.models import Event
from shop.revisions import RevisionState
from tests.factories import NOON, PersonFactory
from tests.jobs.procedure_desk import LOOKERS, PIN, WRITERS, desk_of, kept
from tests.jobs.procedure_texts import PROCEDURE, changed

pytestmark = pytest.mark.django_db
ADDRESS = reverse("jobs:procedure_release", args=["FC-T1", "A"])
SIGNED = {"pin": PIN}


def state() -> str:
    return ProcedureRevision.objects.get(revision="A").state


@pytest.mark.parametrize("role", WRITERS)
def test_it_asks_and_then_releases(role: str) -> None:
    kept()
    desk = desk_of(role)
    said = desk.get(ADDRESS).content.decode()
    assert "Release FC-T1 A?" in said
    assert state() == RevisionState.DRAFT
    answer = desk.post(ADDRESS, SIGNED, follow=True)
    assert "FC-T1 A is released" in answer.content.decode()
    assert state() == RevisionState.RELEASED


@pytest.mark.parametrize(("pin", "told"), [("", "This is not the PIN"), ("1470", "This is not the PIN")])
def test_it_takes_the_pin_of_whoever_releases(pin: str, told: str) -> None:
    kept()
    answer = desk_of(WRITERS[0]).post(ADDRESS, {"pin": pin})
    assert answer.status_code == 422
    assert told in answer.context["form"].errors["pin"][0]
    assert "Release FC-T1 A?" in answer.content.decode()
    assert state() == RevisionState.DRAFT


def test_five_wrong_pins_lock_whoever_releases() -> None:
    kept()
    desk = desk_of(WRITERS[0])
    for _ in range(5):
        desk.post(ADDRESS, {"pin": "1470"})
    answer = desk.post(ADDRESS, SIGNED)
    assert "Five wrong PINs" in answer.content.decode()
    assert state() == RevisionState.DRAFT


def test_it_says_what_is_superseded() -> None:
    kept(changed("revision: A", "revision: 0"), release=True)
    kept()
    said = desk_of(WRITERS[0]).get(ADDRESS).content.decode()
    assert "Revision 0 is superseded; cars that are built to it stay on it until" in said


@pytest.mark.parametrize("role", LOOKERS)
@pytest.mark.parametrize("method", ["get", "post"])
def test_nobody_else_releases(role: str, method: str) -> None:
    kept()
    assert getattr(desk_of(role), method)(ADDRESS).status_code == 403
    assert state() == RevisionState.DRAFT


def test_sent_twice_it_is_released_once() -> None:
    kept()
    desk = desk_of(WRITERS[0])
    desk.post(ADDRESS, SIGNED)
    said = desk.post(ADDRESS, SIGNED, follow=True).content.decode()
    assert "FC-T1 A is released already" in said
    assert Event.objects.filter(kind="procedure.released").count() == 1


def test_whoever_wrote_on_it_is_not_the_only_eyes_on_joints_and_welds() -> None:
    writer = PersonFactory(role=WRITERS[0])
    desk = desk_of(WRITERS[0], writer)
    bring_in_procedure(PROCEDURE, by=writer, now=NOON, release=False)
    assert "Somebody else who may release it" in desk.get(ADDRESS).content.decode()
    assert desk.post(ADDRESS, SIGNED).status_code == 422
    assert state() == RevisionState.DRAFT
    desk_of(WRITERS[1]).post(ADDRESS, SIGNED)
    assert state() == RevisionState.RELEASED


def test_whoever_wrote_what_touches_none_of_them_releases_it() -> None:
    kept(release=True)
    writer = PersonFactory(role=WRITERS[0])
    desk = desk_of(WRITERS[0], writer)
    text = changed("revision: A", "revision: B").decode().replace("Invented for the tests.", "Another note.")
    bring_in_procedure(text.encode(), by=writer, now=NOON, release=False)
    assert desk.post(reverse("jobs:procedure_release", args=["FC-T1", "B"]), SIGNED).status_code == 302
