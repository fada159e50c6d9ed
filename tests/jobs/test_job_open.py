"""Opening a job on one page: whose car, which car, by which procedure, with which kit, allowed how."""

from typing import Any

import pytest

from jobs.models import Job, ProcedureRevision
from parts.models import KitOrder
from shop.models import Bay, Customer
from shop.revisions import RevisionState
from shop.verification import verify_record
from tests.jobs.desk import Desk
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db
WHERE = "/jobs/open/"


@pytest.fixture
def typed(route: SmallRoute) -> dict[str, Any]:
    """A form filled in rightly, without an authority."""
    order = KitOrder.objects.create(
        number="K-20", kit_revision=route.job.kit_order.kit_revision, ordered_on=route.now.date()
    )
    return {
        "known": "", "customer_name": "New customer", "model_year": "1964",
        "description": "Other test car",
        "serial": "64-123", "north_america": "on", "plate": "DEMO 9", "odometer": "12 345",
        "procedure_revision": str(ProcedureRevision.objects.get().pk), "kit_order": str(order.pk), "bay": "",
        "promised_on": "2026-03-20", "wishes": "Lower by two inches", "scope": "", "given_by": "", "way": "",
        "allows_cutting": "no",
    }  # fmt: skip


def opened() -> Job:
    return Job.objects.get(number=1002)


def test_a_job_is_opened_for_a_new_customer(route: SmallRoute, typed: dict[str, Any]) -> None:
    answer = Desk(route, "wren").post(WHERE, typed)
    assert answer.headers["Location"] == "/jobs/1002/"
    job = opened()
    assert (job.customer.name, job.vehicle.serial, job.odometer) == ("New customer", "64-123", "12 345")
    assert job.opened_by == route.people["wren"]
    assert job.operations.count() == 13
    assert verify_record().is_whole


def test_a_customer_whom_the_shop_knows_is_chosen(route: SmallRoute, typed: dict[str, Any]) -> None:
    known = route.job.customer
    Desk(route, "wren").post(WHERE, {**typed, "known": f"c{known.pk}", "customer_name": ""})
    assert opened().customer == known
    assert opened().vehicle != route.job.vehicle
    assert Customer.objects.count() == 1


def test_a_car_that_was_here_before_is_chosen_with_its_customer(
    route: SmallRoute, typed: dict[str, Any]
) -> None:
    car = route.job.vehicle
    chosen = {**typed, "known": f"v{car.pk}", "customer_name": ""}
    answer = Desk(route, "wren").post(WHERE, chosen)
    assert answer.status_code == 422
    assert answer.content.decode().count("A car is chosen above; leave this empty") >= 4
    empty = dict.fromkeys(("model_year", "description", "serial", "plate"), "")
    assert Desk(route, "wren").post(WHERE, {**chosen, **empty}).status_code == 302
    job = opened()
    assert (job.vehicle, job.customer, job.odometer) == (car, route.job.customer, "12 345")
    assert verify_record().is_whole


@pytest.mark.parametrize("known", ["v999999", "c0", "x1", "v", "c²", "v" + "9" * 400])
def test_one_that_is_not_there_any_more_is_told(known: str, route: SmallRoute, typed: dict[str, Any]) -> None:
    answer = Desk(route, "wren").post(WHERE, {**typed, "known": known})
    assert answer.status_code == 422
    assert "was merged or erased meanwhile" in answer.content.decode()


def test_without_script_the_found_are_offered_and_a_link_brings_one_along(route: SmallRoute) -> None:
    desk, car = Desk(route, "wren"), route.job.vehicle
    page = desk.page(f"{WHERE}?find_customer=test+car")
    assert f'value="v{car.pk}"' in page
    assert "Test customer: 1966 Test car, 1" in page
    page = desk.page(f"{WHERE}?known=v{car.pk}")
    assert f'value="v{car.pk}" id="id_known_1" checked' in page
    assert "Nobody found by" in desk.page(f"{WHERE}?find_customer=zzz")


def test_a_serial_that_was_here_before_is_told_as_it_is_typed(route: SmallRoute) -> None:
    asked = f"{WHERE}?model_year=1966&serial=1&north_america=on"
    part = Desk(route, "wren").get(asked, target="serial-check").content.decode()
    assert "1966 Test car of Test customer." in part


def test_the_authority_is_recorded_with_it(route: SmallRoute, typed: dict[str, Any]) -> None:
    given = {"scope": "All", "given_by": "New customer", "way": "typed_name", "allows_cutting": "yes"}
    Desk(route, "wren").post(WHERE, {**typed, **given})
    found = opened().authorities.get()
    assert found.allows_cutting
    assert found.entry.signer == route.people["wren"]


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("customer_name", "", "Enter the name, or choose a customer"),
        ("model_year", "", "Enter the model year"),
        ("model_year", "64ish", "Enter the model year as four digits"),
        ("description", "", "Enter make and model"),
        ("serial", "", "Enter the VIN or the maker"),
        ("procedure_revision", "", "Choose the procedure"),
        ("kit_order", "", "Choose the kit order"),
        ("promised_on", "soon", "Enter a date"),
        ("scope", "All", "Say who allowed it"),
        ("way", "typed_name", "Say what work is allowed"),
    ],
)
def test_bad_input_is_told_beside_its_field_and_all_is_kept(
    field: str, value: str, words: str, route: SmallRoute, typed: dict[str, Any]
) -> None:
    answer = Desk(route, "wren").post(WHERE, {**typed, field: value})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert words in page
    assert "Lower by two inches</textarea>" in page
    assert Job.objects.count() == 1


def test_a_customer_both_chosen_and_new_is_a_question(route: SmallRoute, typed: dict[str, Any]) -> None:
    answer = Desk(route, "wren").post(WHERE, {**typed, "known": f"c{route.job.customer.pk}"})
    assert "leave one of the two out" in answer.content.decode()


def test_a_wrong_check_digit_is_refused_where_it_applies(route: SmallRoute, typed: dict[str, Any]) -> None:
    wrong = {**typed, "model_year": "1990", "serial": "1M8GDM9A0KP042788"}
    answer = Desk(route, "wren").post(WHERE, wrong)
    assert answer.status_code == 422
    assert "check digit at position 9" in answer.content.decode()
    answer = Desk(route, "wren").post(WHERE, {k: v for k, v in wrong.items() if k != "north_america"})
    assert answer.status_code == 302
    assert opened().vehicle.serial == "1M8GDM9A0KP042788"


@pytest.mark.parametrize(
    ("query", "word"),
    [
        ("model_year=1964&serial=abc&north_america=on", "Good:"),
        ("model_year=1990&serial=1M8GDM9A0KP042788&north_america=on", "Wrong:"),
        ("model_year=1990&serial=1M8GDM9A0KP042788", "Mind:"),
        ("model_year=1989&serial=1M8GDM9AXKP042788&north_america=on", "check digit agrees"),
        ("model_year=19&serial=abc", ""),
        ("model_year=²²²²&serial=abc", ""),
    ],
)
def test_the_serial_is_checked_as_it_is_typed(query: str, word: str, route: SmallRoute) -> None:
    part = Desk(route, "wren").get(f"{WHERE}?{query}", target="serial-check").content.decode()
    assert part.lstrip().startswith('<p id="serial-check"')
    assert word in part if word else "<b>" not in part


def test_customers_are_narrowed_by_name_or_phone(route: SmallRoute) -> None:
    Customer.objects.create(name="Somebody Else", phone="555-0199")
    part = Desk(route, "wren").get(f"{WHERE}?find_customer=0199", target="customer-choice").content.decode()
    assert "Somebody Else" in part
    assert "Test customer" not in part
    assert "A new customer" in part


def test_what_is_taken_is_not_offered(route: SmallRoute, typed: dict[str, Any]) -> None:
    Bay.objects.create(number=2, name="Free bay")
    page = Desk(route, "wren").page(WHERE)
    assert "Free bay" in page
    assert "Test bay" not in page
    assert "K-20" in page
    assert "K-9 " not in page


def test_a_kit_order_that_was_taken_meanwhile_is_told(route: SmallRoute, typed: dict[str, Any]) -> None:
    Desk(route, "wren").post(WHERE, typed)
    answer = Desk(route, "wren").post(WHERE, typed)
    assert answer.status_code == 422
    assert "belongs to another job by now" in answer.content.decode()


def test_a_procedure_for_another_kit_is_told_beside_the_kit(route: SmallRoute, typed: dict[str, Any]) -> None:
    from jobs.models import Procedure

    other = Procedure.objects.create(code="P-8", name="Other", kit_code="KIT-8", vehicle_family="Other")
    revision = ProcedureRevision.objects.create(procedure=other, revision="A", state=RevisionState.RELEASED)
    answer = Desk(route, "wren").post(WHERE, {**typed, "procedure_revision": str(revision.pk)})
    assert answer.status_code == 422
    assert "P-8 is for kit KIT-8; order K-20 is for KIT-9" in answer.content.decode()


def test_drafts_are_not_offered(route: SmallRoute, typed: dict[str, Any]) -> None:
    draft = ProcedureRevision.objects.create(procedure=route.job.procedure_revision.procedure, revision="Z")
    assert "P-9 Z" not in Desk(route, "wren").page(WHERE)
    answer = Desk(route, "wren").post(WHERE, {**typed, "procedure_revision": str(draft.pk)})
    assert answer.status_code == 422
