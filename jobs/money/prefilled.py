"""What an estimate or a closing invoice begins with: the route's standard times, the kit, what was agreed."""

from collections.abc import Iterable
from decimal import ROUND_HALF_UP, Decimal

from django.utils.translation import gettext as _

from jobs.models import CustomerAnswer, Estimate, OperationState
from jobs.money.amounts import CENT, HUNDRED, half_up
from jobs.money.estimates import Line
from jobs.record import JobRecord
from parts.models import KitLine
from shop.models import TaxedKind

MINUTES = Decimal(60)
LONGEST_TEXT = 200


def hours_of(minutes: int) -> Decimal:
    return (Decimal(minutes) / MINUTES).quantize(CENT, ROUND_HALF_UP)


def estimate_lines(record: JobRecord) -> list[Line]:
    """Labour by operation at the shop's rate, the kit at its cost; consumables are priced by hand."""
    kit = record.job.kit_order.kit_revision
    cost, uncosted = kit_cost(kit.lines.all())
    name = _("Kit %(kit)s %(name)s") % {"kit": kit, "name": kit.kit.name}
    price = Decimal(0) if uncosted else cost
    return [
        *labour_lines(record),
        Line(TaxedKind.PARTS, name[:LONGEST_TEXT], Decimal(1), _("kit"), price),
        Line(TaxedKind.CONSUMABLES, _("Wire, gas, abrasives, fluids"), Decimal(1), _("once"), Decimal(0)),
    ]


def labour_lines(record: JobRecord) -> list[Line]:
    return [
        Line(
            TaxedKind.LABOUR,
            o.operation.title[:LONGEST_TEXT],
            hours_of(o.operation.standard_minutes),
            _("h"),
            record.settings.labour_rate,
            o.code,
        )
        for o in record.operations
        if o.state != OperationState.NOT_APPLICABLE and o.operation.standard_minutes
    ]


def kit_cost(lines: Iterable[KitLine]) -> tuple[Decimal, int]:
    """What the pieces of a kit cost together, and how many lines have no cost."""
    cost, uncosted = Decimal("0.00"), 0
    for line in lines:
        if line.unit_cost is None:
            uncosted += 1
        else:
            cost += line.unit_cost * line.quantity
    return half_up(cost), uncosted


def closing_lines(record: JobRecord, estimate: Estimate | None) -> list[Line]:
    """What was accepted, and the extra work that was agreed, each at the price without tax.

    A price agreed with the customer has its tax in it; it is taken out again by the rule for labour.
    """
    lines = (
        [
            Line(row.kind, row.text, row.quantity, row.unit, row.price_each, row.operation)
            for row in estimate.lines.all()
        ]
        if estimate
        else estimate_lines(record)
    )
    percent = estimate.tax_percent if estimate else record.settings.tax_percent
    kinds = estimate.taxed_kinds if estimate else record.settings.taxed_kinds
    share = percent if TaxedKind.LABOUR in kinds else Decimal(0)
    for extra in record.extra_works:
        if extra.answer == CustomerAnswer.YES:
            words = {"number": extra.number, "text": extra.text}
            text = (_("Extra work %(number)d: %(text)s") % words)[:LONGEST_TEXT]
            net = half_up(extra.price * HUNDRED / (HUNDRED + share))
            code = extra.job_operation.operation.code if extra.job_operation else ""
            lines.append(Line(TaxedKind.LABOUR, text, Decimal(1), _("once"), net, code))
    return lines
