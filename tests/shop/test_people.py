"""The people of the shop: taken in, changed, certified, away, gone; each sets their own password and PIN."""

import datetime as dt
import json
import re

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from shop.models import Absence, Certificate, Event, Person, Role, ShopSettings, Turn
from shop.own_secrets import HOLDS_FOR, What, start
from shop.people import PersonRefused, change_person, deactivate
from shop.verification import verify_record
from tests.factories import NOON, CertificateFactory, PersonFactory, TurnFactory

pytestmark = pytest.mark.django_db
GOOD = {"full_name": "New Person", "username": "newcomer", "role": Role.FABRICATOR}


@pytest.fixture
def manager() -> Person:
    return PersonFactory(role=Role.MANAGER)


@pytest.fixture
def desk(client: Client, manager: Person) -> Client:
    client.force_login(manager)
    return client


def said_of(kind: str) -> dict[str, object]:
    payload: dict[str, dict[str, object]] = json.loads(bytes(Event.objects.get(kind=kind).payload))
    return payload["data"]


def page_of(answer: object) -> str:
    return " ".join(answer.content.decode().split())  # type: ignore[attr-defined]


def test_somebody_is_taken_in_without_a_password_and_their_name_stays_out_of_the_record(desk: Client) -> None:
    answer = desk.post(reverse("shop:person_add"), GOOD)
    added = Person.objects.get(username="newcomer")
    assert answer.headers["Location"] == reverse("shop:person", args=[added.pk])
    assert not added.has_usable_password()
    assert not added.is_staff
    assert "New Person" not in bytes(Event.objects.get(kind="person.added").payload).decode()
    assert "no PIN yet" in page_of(desk.get(reverse("shop:person_list")))


@pytest.mark.parametrize(
    ("field", "value", "told"),
    [
        ("username", "", "required"),
        ("username", "with blank", "valid username"),
        ("username", "TESTER", "has this sign-in name already"),
        ("full_name", "", "required"),
        ("full_name", "x" * 200, "at most 120"),
        ("role", "king", "not one of the available"),
    ],
)
def test_bad_input_is_told_beside_its_field(field: str, value: str, told: str, desk: Client) -> None:
    PersonFactory(username="tester")
    answer = desk.post(reverse("shop:person_add"), {**GOOD, field: value})
    assert answer.status_code == 422
    assert told in str(answer.context["form"].errors[field])
    assert not Person.objects.filter(username="newcomer").exists()


def test_another_role_is_another_reach_at_once(desk: Client, manager: Person) -> None:
    other = PersonFactory(role=Role.MANAGER, is_staff=True, is_superuser=True)
    theirs = Client()
    theirs.force_login(other)
    assert theirs.get(reverse("shop:person_list")).status_code == 200
    desk.post(reverse("shop:person", args=[other.pk]), {"full_name": "Other", "role": Role.LEAD})
    other.refresh_from_db()
    assert (other.role, other.is_staff, other.is_superuser) == (Role.LEAD, False, False)
    assert theirs.get(reverse("shop:person_list")).status_code == 403
    assert said_of("person.changed")["changed"] == ["full_name", "role"]
    assert verify_record().is_whole


def test_the_last_manager_stays_manager(desk: Client, manager: Person) -> None:
    answer = desk.post(reverse("shop:person", args=[manager.pk]), {"full_name": "x", "role": Role.LEAD})
    assert answer.status_code == 422
    assert "is the only manager" in page_of(answer)
    with pytest.raises(PersonRefused, match="only manager"):
        change_person(manager, full_name="x", role=Role.FABRICATOR, by=manager, now=NOON)
    manager.refresh_from_db()
    assert manager.role == Role.MANAGER


def test_who_leaves_is_out_of_desk_and_tablet_at_once_and_may_come_back(
    desk: Client, manager: Person
) -> None:
    gone = PersonFactory(pin_hash="x")
    turn, theirs = TurnFactory(person=gone), Client()
    theirs.force_login(gone)
    where = reverse("shop:person_leave", args=[gone.pk])
    assert "Sign this person off?" in page_of(desk.get(where))
    desk.post(where)
    assert theirs.get(reverse("jobs:floor")).status_code == 302
    assert Turn.objects.get(pk=turn.pk).ended_at is not None
    assert "Not here any more" in page_of(desk.get(reverse("shop:person_list")))
    desk.post(where)
    gone.refresh_from_db()
    assert gone.is_active
    with pytest.raises(PersonRefused, match="sign themselves off"):
        deactivate(manager, by=manager, now=NOON)


def address_for(desk: Client, person: Person, what: str) -> str:
    page = page_of(desk.post(reverse("shop:person_secret", args=[person.pk]), {"what": what}))
    (found,) = re.findall(r'class="private-address">http://testserver([^<]+)<', page)
    return str(found)


def test_a_pin_is_typed_by_its_owner_alone_and_stands_nowhere(desk: Client) -> None:
    person, phone = PersonFactory(), Client()
    where = address_for(desk, person, "pin")
    assert person.full_name in page_of(phone.get(where))
    wrong = phone.post(where, {"first": "4711", "again": "4712"})
    assert "not the same" in page_of(wrong)
    assert "4711" not in wrong.content.decode()
    assert "first that anybody tries" in page_of(phone.post(where, {"first": "1234", "again": "1234"}))
    assert "Your PIN is set" in page_of(phone.post(where, {"first": "4711", "again": "4711"}))
    assert Person.objects.get(pk=person.pk).has_pin("4711")
    assert phone.get(where).status_code == 404
    assert phone.post(where, {"first": "8305", "again": "8305"}).status_code == 404
    assert said_of("person.pin_set") == {"person": person.pk, "started_by": said_of("person.pin_asked")["by"]}
    assert not any(b"4711" in bytes(event.payload) for event in Event.objects.all())


def test_two_people_may_have_the_same_pin(desk: Client) -> None:
    for person in (PersonFactory(), PersonFactory()):
        assert (
            Client().post(address_for(desk, person, "pin"), {"first": "8305", "again": "8305"}).status_code
            == 200
        )


def test_a_password_set_by_its_owner_is_told_in_the_record_and_signs_out_elsewhere(desk: Client) -> None:
    person, theirs = PersonFactory(username="tester"), Client()
    theirs.force_login(person)
    where = address_for(desk, person, "password")
    assert "too short" in page_of(Client().post(where, {"first": "short", "again": "short"}))
    fine = "three words together"
    assert "Your password is set" in page_of(Client().post(where, {"first": fine, "again": fine}))
    assert theirs.get(reverse("jobs:floor")).status_code == 302
    assert said_of("person.password_set")["person"] == person.pk
    signed_in = Client().post(reverse("shop:sign_in"), {"username": "tester", "password": fine})
    assert signed_in.status_code == 302


def test_the_page_runs_out_and_is_not_for_whoever_left(manager: Person) -> None:
    person = PersonFactory()
    where = reverse("shop:own_secret", args=[start(person, What.PIN, by=manager, now=NOON)])
    with time_machine.travel(NOON + HOLDS_FOR[What.PIN] - dt.timedelta(seconds=1), tick=False):
        assert Client().get(where).status_code == 200
    with time_machine.travel(NOON + HOLDS_FOR[What.PIN], tick=False):
        assert Client().get(where).status_code == 404
    Person.objects.filter(pk=person.pk).update(is_active=False)
    with time_machine.travel(NOON, tick=False):
        assert Client().get(where).status_code == 404
        assert Client().get(where[:-3] + "x/").status_code == 404


def test_a_certificate_is_entered_and_ended_early_and_warns_before_it_runs_out(desk: Client) -> None:
    person, today = PersonFactory(), ShopSettings.current().day_at(dt.datetime.now(dt.UTC))
    data = {"skill": "inspection", "number": "C-9", "valid_from": "2020-01-01", "valid_until": "2019-01-01"}
    where = reverse("shop:certificate_add", args=[person.pk])
    answer = desk.post(where, data)
    assert "It cannot end before it begins" in page_of(answer)
    assert 'value="C-9"' in page_of(answer)
    desk.post(where, {**data, "valid_until": str(today + dt.timedelta(days=59))})
    assert "runs out soon" in page_of(desk.get(reverse("shop:person", args=[person.pk])))
    row = Certificate.objects.get()
    change = reverse("shop:certificate", args=[person.pk, row.pk])
    assert desk.get(change).status_code == 200
    desk.post(change, {**data, "valid_until": str(today - dt.timedelta(days=1))})
    assert "has run out" in page_of(desk.get(reverse("shop:person", args=[person.pk])))
    other = reverse("shop:certificate", args=[PersonFactory().pk, row.pk])
    assert desk.get(other).status_code == 404
    assert verify_record().is_whole


def test_days_away_are_entered_and_taken_back(desk: Client) -> None:
    person, today = PersonFactory(), ShopSettings.current().day_at(dt.datetime.now(dt.UTC))
    where = reverse("shop:absence_add", args=[person.pk])
    wrong = desk.post(where, {"first_day": str(today), "last_day": "someday"})
    assert wrong.status_code == 422
    assert "Write the day as year-month-day" in page_of(wrong)
    desk.post(where, {"first_day": str(today), "last_day": str(today), "note": "course"})
    assert "course" in page_of(desk.get(reverse("shop:person", args=[person.pk])))
    desk.post(reverse("shop:absence_remove", args=[person.pk, Absence.objects.get().pk]))
    assert not Absence.objects.exists()
    assert list(Event.objects.values_list("kind", flat=True)) == ["absence.added", "absence.removed"]
    assert verify_record().is_whole


def test_queries_of_the_list_do_not_grow_with_people(desk: Client) -> None:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    desk.get(reverse("shop:person_list"))
    with CaptureQueriesContext(connection) as few:
        desk.get(reverse("shop:person_list"))
    for _ in range(4):
        CertificateFactory()
    with CaptureQueriesContext(connection) as many:
        desk.get(reverse("shop:person_list"))
    assert len(many) == len(few)
