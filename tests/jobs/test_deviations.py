"""A signed departure from the procedure for one car: its limit, its second person, its end."""

import pytest
from django.test import Client
from django.urls import reverse

from jobs.models import Deviation, Result
from shop.entries import Answer
from shop.models import SignedHow
from shop.verification import verify_record
from tests.jobs.bay import Bay
from tests.jobs.desk import give_pins
from tests.jobs.small_route import SmallRoute, assert_accepted

pytestmark = pytest.mark.django_db


def issue(route: SmallRoute, code: str = "C10.1", who: str = "lind", **more: object) -> Answer:
    """A deviation at a checkpoint, or at a whole operation."""
    operation, _dot, _number = code.partition(".")
    given = {"text": "The rail sits lower", "reason": "An old repair", "checkpoint": code, **more}
    payload = {
        name: value for name, value in given.items() if value and ("." in code or name != "checkpoint")
    }
    return route.send("deviation", operation, who, SignedHow.PIN, **payload)


def told(answer: Answer) -> str:
    return str(answer.data.get("message", ""))


def read(route: SmallRoute, value: str) -> str:
    sent = {"checkpoint": "C10.1", "value": value, "instrument": "TP-1"}
    return str(route.send("reading", "C10", "fenn", **sent).data["verdict"])


def test_its_limit_holds_for_this_car_and_the_result_names_it(route: SmallRoute) -> None:
    route.up_to("C10")
    assert_accepted(issue(route, limit="30 ±1/16 in"))
    assert_accepted(route.send("start", "C10", "fenn"))
    assert read(route, "30") == "conforms"
    result = Result.objects.get(checkpoint__code="C10.1")
    assert result.deviation == Deviation.objects.get(number=1)
    assert result.decision["limits"]["text"] == "30 ±1/16 in"
    assert verify_record().is_whole


def test_what_the_procedure_asks_is_still_said(client: Client, route: SmallRoute) -> None:
    route.up_to("C10")
    assert_accepted(issue(route, limit="30 ±1/16 in"))
    client.force_login(route.people["lind"])
    page = client.get(reverse("jobs:job_operation", args=[route.job.number, "C10"])).content.decode()
    assert "Deviation D1 for this car" in page
    assert "The procedure asks 29 1/2 ±1/16 in" in page
    assert "Withdraw the deviation" in page


def test_withdrawn_what_was_read_under_it_is_open_again(route: SmallRoute) -> None:
    route.up_to("C10")
    assert_accepted(issue(route, limit="30 ±1/16 in"))
    assert_accepted(route.send("start", "C10", "fenn"))
    read(route, "30")
    assert_accepted(
        route.send("deviation_withdraw", "C10", "thorn", SignedHow.PIN, deviation="1", reason="No")
    )
    assert not route.record.find_checkpoint("C10.1").is_closed  # type: ignore[union-attr]
    assert read(route, "29 1/2") == "conforms"


@pytest.mark.parametrize(
    ("who", "how", "says"),
    [
        ("fenn", SignedHow.PIN, "This is done by: Lead"),
        ("ash", SignedHow.PIN, "This is done by: Lead"),
        ("lind", SignedHow.TURN, "PIN"),
    ],
)
def test_only_a_lead_signs_one_with_the_pin(route: SmallRoute, who: str, how: str, says: str) -> None:
    route.up_to("C10")
    answer = route.send("deviation", "C10", who, how, text="Other", reason="Because", checkpoint="C10.1")
    assert says in told(answer)
    assert not Deviation.objects.exists()


def test_nobody_signs_one_about_their_own_work(route: SmallRoute) -> None:
    route.up_to("C10")
    assert_accepted(route.send("start", "C10", "lind"))
    assert "another lead" in told(issue(route))
    assert_accepted(issue(route, who="thorn"))


def test_a_bad_reading_is_not_explained_away(route: SmallRoute) -> None:
    route.up_to("C10")
    assert_accepted(route.send("start", "C10", "fenn"))
    read(route, "30")
    assert "decided about as a nonconformance" in told(issue(route, limit="30 ±1/16 in"))


def test_on_steering_suspension_brakes_and_welds_a_second_qualified_person_signs(route: SmallRoute) -> None:
    route.up_to("A10")
    assert "second qualified person" in told(issue(route, "A10.1", limit="60 ±10 % lbf·ft"))
    assert_accepted(issue(route, "A10.1", limit="60 ±10 % lbf·ft", second=route.people["thorn"].pk))
    assert Deviation.objects.get().second == route.people["thorn"]


@pytest.mark.parametrize(
    ("limit", "says"),
    [("thirty", "thirty"), ("30 ±1/16 lbf·ft", "write one of that kind"), ("30 ±", "")],
)
def test_a_limit_that_cannot_be_is_told_at_its_field(
    client: Client, route: SmallRoute, limit: str, says: str
) -> None:
    route.up_to("C10")
    client.force_login(route.people["lind"])
    route.people["lind"].set_pin("4711")
    route.people["lind"].save()
    posted = {
        "entry_id": "7f6d0a53-0a52-4d66-9b1c-7d9d5b8a0001",
        "saw": "",
        "subject": "C10",
        "kind": "deviation",
        "p_checkpoint": "C10.1",
        "p_text": "Sits lower",
        "p_reason": "Because",
        "p_limit": limit,
        "pin": "4711",
    }
    answer = client.post(reverse("jobs:desk_entry", args=[route.job.number]), posted)
    assert answer.status_code == 422
    assert limit in answer.content.decode()
    assert says in answer.content.decode()
    assert not Deviation.objects.exists()


def test_a_limit_that_nothing_in_the_shop_proves_is_said_at_once(route: SmallRoute) -> None:
    route.up_to("C10")
    assert "No instrument" in str(issue(route, limit="30 ±1/128 in").data["warning"])


def test_sent_back_and_still_out_of_reach_a_new_limit_is_signed(route: SmallRoute) -> None:
    """What was read before keeps its verdict; what is read under the deviation closes the problem."""
    route.up_to("C10")
    assert_accepted(route.send("start", "C10", "fenn"))
    assert read(route, "30") == "does_not_conform"
    send_back = {"nonconformance": "1", "disposition": "rework", "reason": "Mark it again"}
    assert_accepted(route.send("disposition", "C10", "lind", SignedHow.PIN, **send_back))
    assert_accepted(issue(route, limit="30 ±1/16 in"))
    assert read(route, "30") == "conforms"
    first, second = Result.objects.filter(checkpoint__code="C10.1").order_by("pk")
    assert (first.verdict, first.deviation, second.deviation.number) == ("does_not_conform", None, 1)
    assert not route.record.open_nonconformances


def test_the_tablet_and_its_data_say_which_limit_holds_and_what_the_procedure_asks(
    route: SmallRoute,
) -> None:
    give_pins(route)
    route.up_to("C10")
    assert_accepted(issue(route, limit="30 ±1/16 in"))
    bay = Bay(route)
    assert "Limit of deviation D1" in bay.page("C10")
    assert "The procedure asks 29 1/2 ±1/16 in" in bay.page("C10")
    data = bay.get("/tablet/1001/C10/thresholds/").json()
    told = {"number": 1, "limit": "30 ±1/16 in", "procedure": "29 1/2 ±1/16 in"}
    assert data["deviations"] == {"C10.1": told}
    assert data["checkpoints"]["C10.1"]["TP-1"]["accept_low"] > 29.9 * 25.4e9


def test_torque_plus_angle_takes_another_torque(route: SmallRoute) -> None:
    route.up_to("A10")
    assert_accepted(issue(route, "A10.4", limit="22 ±10 % lbf·ft", second=route.people["thorn"].pk))
    assert route.record.find_checkpoint("A10.4").checkpoint.limit == "22 ±10 % lbf·ft"  # type: ignore[union-attr]


def test_after_the_work_there_is_none(route: SmallRoute) -> None:
    route.up_to("C20")
    assert "issued before the work" in told(issue(route, "C10"))
