"""Money in the scenario: estimates written and answered, extra work asked for, deposits and invoices paid."""

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

from jobs.demo.player import Player
from jobs.models import Invoice
from jobs.money.estimates import Line, Sheet, keep_draft, mark_of, offer
from jobs.money.invoices import issue_closing, issue_deposit
from jobs.money.prefilled import closing_lines, estimate_lines
from shop.models import Person, SignedHow, TaxedKind


def write_estimate(player: Player, told: Mapping[str, Any], *, by: Person, given_by: str) -> None:
    """The estimate as the desk wrote it when the car came in, and what the customer answered."""
    job, now = player.job, player.clock.at
    prices = {TaxedKind.PARTS.value: told["kit"], TaxedKind.CONSUMABLES.value: told["consumables"]}
    lines = tuple(_priced(line, prices) for line in estimate_lines(player.record))
    sheet = Sheet(lines, told.get("note", ""), player.clock.settings.deposit_percent)
    offer(keep_draft(job, sheet, seen=mark_of(job), by=by, now=now), by=by, now=now)
    if told.get("answer"):
        payload = {"estimate": "1", "answer": told["answer"], "given_by": given_by, "way": told["way"]}
        payload["allows_cutting"] = told.get("allows_cutting", "no")
        player.send("estimate_answer", "estimate/1", by, SignedHow.DESK, payload)
    if told.get("deposit"):
        _pay(player, issue_deposit(job, by=by, now=now), told["deposit"], by)


def close_money(player: Player, told: Mapping[str, Any], *, by: Person) -> None:
    """What came of it later: work found on the way, the closing invoice."""
    extra = told.get("extra_work")
    if extra:
        payload = {name: extra[name] for name in ("operation", "text", "price", "days_later")}
        player.send("extra_work", "extra_work", player.people[extra["by"]], SignedHow.DESK, payload)
    if told.get("closing"):
        job = player.job
        estimate = job.estimates.prefetch_related("lines").get(issue=1)
        lines = closing_lines(player.record, estimate)
        _pay(player, issue_closing(job, lines, by=by, now=player.clock.at), told["closing"], by)


def _priced(line: Line, prices: Mapping[str, str]) -> Line:
    price = prices.get(line.kind)
    return line if price is None else replace(line, price_each=Decimal(price))


def _pay(player: Player, invoice: Invoice, way: str, by: Person) -> None:
    """All that is left to pay of an invoice, paid at once."""
    paid = sum((p.amount for p in player.job.payments.all()), Decimal(0))
    payload = {"amount": f"{invoice.gross - paid:.2f}", "way": way, "invoice": str(invoice.number)}
    player.send("payment", "payment", by, SignedHow.DESK, payload)
