"""A list superseded: every order and car listed, decided about one by one, what is here carried over."""

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from parts import cars as seam
from parts.cars import Car, Cars, Needs, NoCars
from parts.kit_files import bring_in_kit
from parts.models import KitAnswer, KitDecision, KitOrder
from parts.reconciling import reconcile
from shop.file_errors import FileErrors
from shop.models import Person, Role
from shop.verification import verify_record
from tests.factories import NOON, KitOrderFactory, PersonFactory
from tests.parts.counting_by_hand import counted
from tests.parts.kit_texts import KIT
from tests.parts.pages_by_hand import sent

PIN, OTHER_PIN = "2580", "3690"
NEXT = KIT.replace(b"KIT-T1,A,", b"KIT-T1,B,").replace(b"Sleeve \xc2\xbd in,4", b"Sleeve \xc2\xbd in,6")


class OneCar(NoCars):
    """A car on the floor whose drilling has begun, and whose drilling is about safety."""

    def __init__(self, order: KitOrder) -> None:
        self.order = order

    def of_orders(self, orders: object) -> dict[int, Car]:
        return {self.order.pk: Car("Job J-1", "/", "Test car", False)}

    def needs(self, orders: object, *, now: object) -> dict[int, Needs]:
        return {self.order.pk: Needs(started=frozenset({"D30", "A20"}))}

    def safety_operations(self, kit: str) -> frozenset[str]:
        return frozenset({"D30"})


@pytest.fixture
def with_car(order: KitOrder, monkeypatch: pytest.MonkeyPatch) -> KitOrder:
    one: list[Cars] = [OneCar(order)]
    monkeypatch.setattr(seam, "_cars", one)
    return order


def person(role: str, pin: str) -> Person:
    made = PersonFactory(role=role)
    made.set_pin(pin)
    made.save()
    return made


def desk(who: Person) -> Client:
    client = Client()
    client.force_login(who)
    return client


def release_next(text: bytes = NEXT) -> None:
    one, two = PersonFactory(role=Role.PARTS_CLERK), PersonFactory(role=Role.LEAD)
    bring_in_kit(text, by=one, now=NOON, release=True, released_by=two)


def test_what_touches_safety_is_not_released_by_whoever_wrote_it(with_car: KitOrder, clerk: Person) -> None:
    with pytest.raises(FileErrors, match="T1-110"):
        bring_in_kit(NEXT, by=clerk, now=NOON, release=True)
    bring_in_kit(NEXT, by=clerk, now=NOON, release=False)
    clerk.set_pin(PIN)
    clerk.save()
    at = reverse("parts:kit_release", args=["KIT-T1", "B"])
    assert "Somebody else who may release it" in desk(clerk).get(at).content.decode()
    assert desk(clerk).post(at, {"pin": PIN}).status_code == 422
    assert desk(person(Role.LEAD, PIN)).post(at, {"pin": PIN}).status_code == 302


def test_every_order_waits_for_a_decision_and_says_what_has_begun(with_car: KitOrder) -> None:
    release_next()
    lead = desk(person(Role.LEAD, PIN))
    floor = lead.get(reverse("parts:kit_floor", args=["KIT-T1"])).content.decode()
    assert "1 order waits for a decision" in floor
    assert "Test car" in floor
    assert "D30" in floor
    assert (
        "nobody has decided about this order"
        in lead.get(reverse("parts:order", args=["K-0001"])).content.decode()
    )


def test_carrying_on_with_safety_parts_takes_a_second_qualified_person(with_car: KitOrder) -> None:
    release_next()
    lead, other = person(Role.LEAD, PIN), person(Role.LEAD, OTHER_PIN)
    at = reverse("parts:order_revision", args=["K-0001"])
    alone = sent(desk(lead), at, to="B", answer="carry_on", reason="The maker's letter", pin=PIN)
    assert alone.status_code == 422
    assert "a second qualified person" in alone.content.decode()
    assert "letter" in alone.content.decode()
    self_second = {"second_username": lead.username, "second_pin": PIN}
    again = sent(desk(lead), at, to="B", answer="carry_on", reason="x", pin=PIN, **self_second)
    assert "somebody else" in again.content.decode()
    second = {"second_username": other.username, "second_pin": OTHER_PIN}
    done = sent(desk(lead), at, to="B", answer="carry_on", reason="The maker's letter", pin=PIN, **second)
    assert done.status_code == 302
    decision = KitDecision.objects.get()
    assert (decision.person, decision.second, decision.fitted) == (lead, other, ["D30"])
    with_car.refresh_from_db()
    assert with_car.kit_revision.revision == "A"
    page = desk(lead).get(reverse("parts:order", args=["K-0001"])).content.decode()
    assert "nobody has decided" not in page
    assert "carry on with what was ordered" in page
    assert verify_record().is_whole


def test_only_an_answer_that_leaves_safety_parts_asks_for_a_second_person(with_car: KitOrder) -> None:
    release_next()
    lead, other = person(Role.LEAD, PIN), person(Role.LEAD, OTHER_PIN)
    at = reverse("parts:order_revision", args=["K-0001"])
    page = desk(lead).get(at)
    assert page.context["form"].second_for == (KitAnswer.CARRY_ON, KitAnswer.CHANGE_OVER)
    assert 'class="second-person second-for-carry_on second-for-change_over"' in page.content.decode()
    left_there = {"second_username": other.username, "second_pin": "1470"}  # chosen before the answer was
    done = sent(desk(lead), at, to="B", answer="rework", reason="Done again", pin=PIN, **left_there)
    assert done.status_code == 302
    assert KitDecision.objects.get().second is None


def test_what_has_not_begun_is_changed_over_by_one_person(
    with_car: KitOrder, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(OneCar, "needs", lambda *_a, **_k: {with_car.pk: Needs(started=frozenset({"A20"}))})
    release_next()
    at = reverse("parts:order_revision", args=["K-0001"])
    form = desk(person(Role.LEAD, PIN)).get(at).context["form"]
    assert form.second_for == (KitAnswer.CARRY_ON,)
    assert "For “carry on with what was ordered”: " in form["second_username"].help_text
    done = sent(desk(person(Role.LEAD, PIN)), at, to="B", answer="change_over", reason="Ordered", pin=PIN)
    assert done.status_code == 302


def test_changed_over_what_is_here_counts_and_the_difference_is_short(
    order: KitOrder, counter: Client
) -> None:
    assert counted(counter, order, T1_100=1, T1_110=4, T1_200=8).status_code == 302
    assert reconcile(order).state == "complete"
    gone = b"".join(row for row in NEXT.splitlines(keepends=True) if b"T1-200" not in row)
    release_next(gone)
    lead = person(Role.LEAD, PIN)
    at = reverse("parts:order_revision", args=["K-0001"])
    assert sent(desk(lead), at, to="B", answer="change_over", reason="Ordered", pin=PIN).status_code == 302
    order.refresh_from_db()
    standing = reconcile(order)
    short = {line.part_number: line.short for line in standing.lines}
    assert short == {"T1-100": 0, "T1-110": 2}
    assert [(part.part_number, part.here) for part in standing.unlisted] == [("T1-200", 8)]
    assert standing.is_counted
    assert verify_record().is_whole


@pytest.mark.parametrize(("given", "said"), [({"pin": "1470"}, "not the PIN"), ({"to": "A"}, "in force now")])
def test_what_is_wrong_with_a_decision_is_said_and_nothing_is_decided(
    order: KitOrder, given: dict[str, str], said: str
) -> None:
    release_next()
    at = reverse("parts:order_revision", args=["K-0001"])
    fields = {"to": "B", "answer": "rework", "reason": "Why", "pin": PIN, **given}
    answer = sent(desk(person(Role.LEAD, PIN)), at, **fields)
    assert said in answer.content.decode()
    assert not KitDecision.objects.exists()


def test_only_a_lead_or_the_manager_decides(order: KitOrder, counter: Client) -> None:
    release_next()
    at = reverse("parts:order_revision", args=["K-0001"])
    assert "A lead or the manager decides" in counter.get(at).content.decode()
    assert counter.post(at).status_code == 403


def test_the_list_of_orders_asks_no_more_for_more_of_them(
    order: KitOrder, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    release_next()
    lead = desk(person(Role.LEAD, PIN))
    at = reverse("parts:kit_floor", args=["KIT-T1"])
    with CaptureQueriesContext(connection) as one:
        lead.get(at)
    for number in ("K-0002", "K-0003", "K-0004"):
        KitOrderFactory(number=number, kit_revision=order.kit_revision)
    with django_assert_max_num_queries(len(one)):
        assert "4 orders wait for a decision" in lead.get(at).content.decode()
