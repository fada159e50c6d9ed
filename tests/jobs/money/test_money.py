"""Money on one job: what was estimated, allowed, agreed on the way, spent, invoiced and paid."""

import datetime as dt
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from jobs.models import Authority, BookedTime, ExtraWork, Payment, TimeCorrection
from jobs.money.account import Account
from jobs.money.costs import cost_of
from parts.models import KitLine, LocalPurchase
from shop.verification import verify_record
from tests.factories import EntryFactory
from tests.jobs.desk import Desk
from tests.jobs.money.till import MONEY, answer, ask_extra, offered, page, taxed, text_of
from tests.jobs.small_route import SmallRoute, assert_accepted

pytestmark = pytest.mark.django_db


def test_an_empty_page_says_what_will_be_there(route: SmallRoute) -> None:
    said = page(route)
    assert "<title>1966 Test car, money of job 1001" in said
    assert "Write the estimate" in said
    assert "None yet. It begins with the procedure" in said
    assert "is recorded. Without it the car may not be taken apart" in said


@pytest.mark.parametrize(
    ("who", "status"), [("wren", 200), ("ash", 200), ("lind", 200), ("fenn", 403), ("pike", 403)]
)
def test_only_the_desk_the_lead_and_the_manager_see_it(route: SmallRoute, who: str, status: int) -> None:
    assert Desk(route, who).get(MONEY).status_code == status
    changes = 200 if who in {"wren", "ash"} else 403
    assert Desk(route, who).get(f"{MONEY}estimate/").status_code == changes


def test_a_yes_to_the_estimate_is_an_authority_up_to_its_price(route: SmallRoute) -> None:
    taxed()
    offered(route)
    assert "offered, waits for the customer" in page(route)
    assert_accepted(answer(route, 1, allows_cutting="yes"))
    made = Authority.objects.get()
    # 237.50 + 4100.05, and 8.25 % of the parts: 338.254125
    assert (made.amount_limit, made.allows_cutting) == (Decimal("4675.80"), True)
    assert "Up to</dt><dd>4,675.80" in page(route)
    assert verify_record().is_whole


def test_a_newer_estimate_replaces_the_limit_of_the_older(route: SmallRoute) -> None:
    for issue in (1, 2):
        offered(route)
        assert_accepted(answer(route, issue))
    account = Account.load(route.record)
    assert [issue.row.state for issue in account.issues] == ["replaced", "accepted"]
    assert account.allowed.limit == account.allowed.agreed == Decimal("4337.55")


def test_extra_work_waits_then_adds_to_what_is_allowed(route: SmallRoute) -> None:
    offered(route)
    answer(route, 1)
    assert_accepted(ask_extra(route, days_later="2"))
    assert "800.00 waits" in page(route)
    desk = Desk(route, "wren")
    said = desk.enter(
        "extra_work_answer", "extra_work/1", extra_work="1", answer="yes", given_by="Test customer", way=""
    )
    assert said.status_code == 422
    assert "Say how the customer allowed it" in text_of(said)
    said = desk.enter(
        "extra_work_answer", "extra_work/1", extra_work="1", answer="yes", given_by="T", way="typed_name"
    )
    assert said.status_code == 302
    allowed = Account.load(route.record).allowed
    assert (allowed.limit, allowed.extra, allowed.beyond) == (Decimal("5137.55"), Decimal(800), Decimal(0))
    assert not answer(route, 1).accepted


def test_what_goes_beyond_the_limit_is_said(route: SmallRoute) -> None:
    route.send(
        "authority", "authority", "wren", scope="All", allows_cutting="yes", given_by="T", way="signed_paper",
        amount_limit="4,000",
    )  # fmt: skip
    offered(route)
    assert "337.55 beyond it" in page(route)


def test_extra_work_is_priced_by_hours_where_no_price_is_given(route: SmallRoute) -> None:
    taxed("10")
    assert_accepted(ask_extra(route, who="fenn", price="", hours="1.5", operation="T10"))
    extra = ExtraWork.objects.get()
    assert (extra.price, extra.job_operation.operation.code) == (Decimal("142.50"), "T10")
    assert not ask_extra(route, who="pike").accepted


def test_extra_work_is_taken_back_and_cannot_be_answered_then(route: SmallRoute) -> None:
    ask_extra(route)
    assert_accepted(
        route.send("extra_work_withdrawn", "extra_work/1", "wren", extra_work="1", reason="It was paint")
    )
    late = route.send(
        "extra_work_answer",
        "extra_work/1",
        "wren",
        extra_work="1",
        answer="yes",
        given_by="T",
        way="typed_name",
    )
    assert (late.accepted, "was withdrawn" in late.data["message"]) == (False, True)


def test_payments_are_taken_and_no_more_given_back_than_came(route: SmallRoute) -> None:
    desk = Desk(route, "wren")
    assert desk.enter("payment", "payment", amount="1,000.00", way="card", direction="in").status_code == 302
    wrong = desk.enter("payment", "payment", amount="1000.01", way="card", direction="back")
    assert "Only 1,000.00 was paid" in text_of(wrong)
    assert desk.enter("payment", "payment", amount="200", way="card", direction="back").status_code == 302
    assert sum(p.amount for p in Payment.objects.all()) == Decimal(800)
    assert "800.00" in page(route)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", "Enter an amount"),
        ("12.345", "more than two places"),
        ("-5", "below zero"),
        ("NaN", "is no amount"),
        ("1e400", "is no amount"),
        ("1" + "0" * 400, "is no amount"),
        ("999999999", "more than fits here"),
        ("٣٤", "is no amount"),
    ],
)
def test_what_is_no_amount_is_told_and_kept(route: SmallRoute, typed: str, said: str) -> None:
    again = Desk(route, "wren").enter("payment", "payment", amount=typed, way="cash", direction="in")
    assert again.status_code == 422
    assert said in text_of(again)
    assert f'value="{typed}"' in text_of(again) or not typed


def test_cost_is_booked_time_and_issued_parts(route: SmallRoute) -> None:
    """Half an hour corrected to two; arms at 100.00, one of them bought in town for 130.00."""
    route.up_to("T10")
    route.send("start", "T10", "fenn")
    o = route.record.find("T10").job_operation  # type: ignore[union-attr]
    entry = EntryFactory(stream="x")
    booked = BookedTime.objects.create(
        job_operation=o, person=route.people["fenn"], began_at=route.now,
        ended_at=route.now + dt.timedelta(minutes=30), ended_by="paused", entry=entry,
    )  # fmt: skip
    TimeCorrection.objects.create(
        booked=booked, began_at=route.now, ended_at=route.now + dt.timedelta(hours=2), reason="Forgot",
        person=route.people["lind"], entry=EntryFactory(stream="x"),
    )  # fmt: skip
    KitLine.objects.filter(part_number="TC-ARM").update(unit_cost=Decimal(100), operation="T10")
    arm = KitLine.objects.get(part_number="TC-ARM")
    LocalPurchase.objects.create(
        order=route.job.kit_order, kit_line=arm, quantity=1, bought_from="Town", price_each=Decimal(130),
        bought_by=route.people["pike"], bought_at=route.now, entry=EntryFactory(stream="x"),
    )  # fmt: skip
    cost = cost_of(route.record, now=route.now)
    assert (cost.hours, cost.labour) == (Decimal("2.00"), Decimal("190.00"))
    assert (cost.parts, cost.total) == (Decimal("230.00"), Decimal("420.00"))
    assert "2 h" in page(route)


def test_queries_do_not_grow_with_what_is_recorded(route: SmallRoute) -> None:
    desk = Desk(route, "lind")
    offered(route)
    answer(route, 1)
    ask_extra(route)
    route.send("payment", "payment", "wren", amount="5", way="cash", direction="in")
    desk.get(MONEY)
    with CaptureQueriesContext(connection) as few:
        desk.get(MONEY)
    offered(route)
    answer(route, 2)
    ask_extra(route)
    route.send("payment", "payment", "wren", amount="5", way="cash", direction="in")
    with CaptureQueriesContext(connection) as many:
        desk.get(MONEY)
    assert len(many) == len(few)
