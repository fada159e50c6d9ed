"""The closing invoice: prefilled from what was agreed, issued once, under numbers without a gap."""

from decimal import Decimal
from typing import Any

import pytest

from jobs.models import Invoice
from jobs.money import invoices
from jobs.money.account import Account
from shop.verification import verify_record
from tests.jobs.desk import Desk, another_car
from tests.jobs.money.till import MONEY, answer, ask_extra, offered, page, sheet_post, taxed, text_of
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db
WHERE = f"{MONEY}invoice/"
LABOUR = ("labour", "Take the front off", "2.5", "95.00")


def issue(route: SmallRoute, number: int = 1001) -> Any:
    return Desk(route, "wren").post(f"/jobs/{number}/money/invoice/", sheet_post(LABOUR, do="issue"))


def test_it_begins_with_the_accepted_estimate_and_the_extra_work(route: SmallRoute) -> None:
    shop = taxed("10")
    shop.taxed_kinds = ["labour", "parts"]
    shop.save()
    offered(route)
    answer(route, 1)
    ask_extra(route, price="110.00")
    route.send(
        "extra_work_answer", "extra_work/1", "wren",
        extra_work="1", answer="yes", given_by="T", way="typed_name",
    )  # fmt: skip
    said = " ".join(Desk(route, "wren").page(WHERE).split())
    for words in ('value="Take the front off"', 'value="4100.05"', 'value="Extra work 1:', 'value="100.00"'):
        assert words in said


def test_totals_are_worked_out_without_issuing(route: SmallRoute) -> None:
    said = Desk(route, "wren").post(WHERE, sheet_post(LABOUR, do="work_out"))
    assert (said.status_code, "237.50 USD" in text_of(said)) == (200, True)
    assert not Invoice.objects.exists()


def test_issued_it_closes_the_job_once(route: SmallRoute) -> None:
    assert issue(route).status_code == 302
    assert "237.50 due" in page(route)
    again = issue(route)
    assert again.status_code == 409
    assert "closes this job already" in text_of(again)
    assert Invoice.objects.count() == 1
    assert verify_record().is_whole


def test_the_deposit_is_asked_for_once_an_estimate_is_accepted(route: SmallRoute) -> None:
    desk = Desk(route, "wren")
    desk.post(f"{MONEY}deposit/", {})
    assert not Invoice.objects.exists()
    offered(route)
    answer(route, 1)
    desk.post(f"{MONEY}deposit/", {})
    desk.post(f"{MONEY}deposit/", {})
    made = Invoice.objects.get()
    assert (made.kind, made.gross, made.tax) == ("deposit", Decimal("1301.27"), Decimal(0))
    route.send("payment", "payment", "wren", amount="1301.27", way="card", invoice=str(made.number))
    issue(route)
    assert Account.load(route.record).due == Decimal("237.50") - Decimal("1301.27")


def test_numbers_follow_each_other_over_all_jobs_and_none_is_lost_with_a_failure(
    route: SmallRoute, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = another_car(route)
    issue(route)
    with monkeypatch.context() as broken:
        broken.setattr(invoices, "_lay_down", lambda *_a, **_o: 1 / 0)
        with pytest.raises(ZeroDivisionError):
            issue(route, other)
    issue(route, other)
    assert [i.number for i in Invoice.objects.all()] == [5001, 5002]


def test_money_still_comes_when_the_car_is_released(route: SmallRoute) -> None:
    route.job.released_at = route.now
    route.job.save()
    issue(route)
    assert route.send("payment", "payment", "wren", amount="237.50", way="cash").accepted
    assert not ask_extra(route).accepted
    assert Account.load(route.record).due == 0
