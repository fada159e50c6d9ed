"""A credit note takes an invoice back, whole, under a number of its own."""

from decimal import Decimal

import pytest

from jobs.models import Invoice
from jobs.money.estimates import Line
from jobs.money.invoices import issue_closing
from shop.verification import verify_record
from tests.jobs.desk import Desk
from tests.jobs.money.till import MONEY, taxed, text_of
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db
WHERE = f"{MONEY}invoices/5001/credit/"


@pytest.fixture
def closing(route: SmallRoute) -> Invoice:
    taxed("10")
    lines = [Line("parts", "Kit", Decimal(1), "kit", Decimal("100.05"))]
    return issue_closing(route.job, lines, by=route.people["wren"], now=route.now)


def test_it_takes_back_all_of_it_and_another_invoice_can_follow(route: SmallRoute, closing: Invoice) -> None:
    assert Desk(route, "wren").post(WHERE, {"reason": "Wrong customer"}).status_code == 302
    made = Invoice.objects.get(kind="credit")
    assert (made.number, made.credits, made.note) == (5002, closing, "Wrong customer")
    assert (made.net, made.tax, made.gross) == (Decimal("-100.05"), Decimal("-10.01"), Decimal("-110.06"))
    again = issue_closing(
        route.job, [Line("labour", "Anew", Decimal(1), "h", Decimal(5))],
        by=route.people["wren"], now=route.now,
    )  # fmt: skip
    assert again.number == 5003
    assert sum(i.gross for i in Invoice.objects.all()) == Decimal("5.00")
    assert verify_record().is_whole


def test_it_needs_a_reason_and_happens_once(route: SmallRoute, closing: Invoice) -> None:
    desk = Desk(route, "wren")
    assert "Say why" in text_of(desk.post(WHERE, {"reason": " "}))
    desk.post(WHERE, {"reason": "Wrong"})
    twice = desk.post(WHERE, {"reason": "Wrong"})
    assert (twice.status_code, "has taken it back already" in text_of(twice)) == (422, True)
    assert Invoice.objects.count() == 2
    assert desk.get(f"{MONEY}invoices/5002/credit/").status_code == 404
    assert Desk(route, "lind").get(WHERE).status_code == 403
