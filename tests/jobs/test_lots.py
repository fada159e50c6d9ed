"""Lots: recorded where something is used up, offered again, found over every car."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from jobs.models import LotUse, Operation
from shop.verification import verify_record
from tests.jobs.bay import Bay
from tests.jobs.desk import Desk, give_pins
from tests.jobs.small_route import SmallRoute

WIRE, SEALER = "Filler wire ER70S-6", "Seam sealer"


@pytest.fixture
def bay(route: SmallRoute) -> Bay:
    give_pins(route)
    route.up_to("W10")
    Operation.objects.filter(code="W10").update(consumables=[WIRE, SEALER])
    return Bay(route)


def test_a_lot_is_recorded_at_its_consumable_and_offered_again(bay: Bay) -> None:
    assert "Again lot" not in bay.page("W10")
    assert bay.enter("lot", "W10", what=WIRE, lot="L-2231").status_code == 302
    page = bay.page("W10")
    assert "Again lot L-2231" in page
    assert page.count("no lot recorded") == 1
    use = LotUse.objects.get()
    assert (use.what, use.lot, use.person.username) == (WIRE, "L-2231", "fenn")
    # The operation itself was given something for this test.
    assert [f.where for f in verify_record().findings if "jobs.operation:" not in f.where] == []


def test_the_newest_lot_of_any_car_is_the_one_offered(bay: Bay) -> None:
    bay.enter("lot", "W10", what=WIRE, lot="L-1")
    bay.enter("lot", "W10", what=WIRE, lot="L-2")
    assert "Again lot L-2" in bay.page("W10")


def test_something_that_the_procedure_does_not_name_has_a_lot_too(bay: Bay) -> None:
    assert bay.enter("lot", "W10", what="Copper backing", lot="CB-7", other="yes").status_code == 302
    assert "CB-7" in bay.page("W10")


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ({"what": WIRE, "lot": " "}, "as it stands on the package"),
        ({"what": "", "lot": "L-1"}, "what it is that was used"),
        ({"what": WIRE, "lot": "L" * 61}, "at most 60"),
    ],
)
def test_what_cannot_be_a_lot_is_told(bay: Bay, given: dict[str, str], told: str) -> None:
    answer = bay.enter("lot", "W10", **given)
    assert answer.status_code == 422
    assert told in answer.content.decode()
    assert not LotUse.objects.exists()


def test_every_job_and_operation_of_a_lot_is_found_by_a_piece_of_it(bay: Bay) -> None:
    route = bay.route
    bay.enter("lot", "W10", what=WIRE, lot="L-2231")
    bay.enter("lot", "C20", what=WIRE, lot="L-2231")
    bay.enter("lot", "W10", what=SEALER, lot="S-9")
    clerk = Desk(route, "pike")
    page = clerk.page("/lots/?q=223")
    assert "/jobs/1001/W10/" in page
    assert "/jobs/1001/C20/" in page
    assert "S-9" not in page
    assert "Used 2 times" in page
    assert "S-9" in clerk.page("/lots/?q=sealer")
    traced = clerk.page("/trace/?lot=l-2231")
    assert "/jobs/1001/W10/" in traced
    assert "/jobs/1001/C20/" in traced
    assert "No operation has used" in clerk.page("/lots/?q=nothing")
    assert "/lots/?q=S-9" in clerk.page("/jobs/1001/W10/")
    assert 'id="found"' in clerk.get("/lots/?q=S", target="found").content.decode()


def test_the_list_takes_as_many_queries_for_many_uses(bay: Bay) -> None:
    clerk = Desk(bay.route, "pike")
    bay.enter("lot", "W10", what=WIRE, lot="L-0")
    with CaptureQueriesContext(connection) as few:
        clerk.page("/lots/")
    for number in range(5):
        bay.enter("lot", "W10", what=WIRE, lot=f"L-{number}")
    with CaptureQueriesContext(connection) as many:
        clerk.page("/lots/")
    assert len(many) <= len(few)


def test_the_same_form_twice_is_one_use(bay: Bay) -> None:
    once = {"entry_id": "6f0f2d1e-7f0b-4c59-9d6b-0f4a4c6f1a12", "saw": "", "what": WIRE, "lot": "L-1"}
    for _ in range(2):
        assert bay.enter("lot", "W10", **once).status_code == 302
    assert LotUse.objects.count() == 1
