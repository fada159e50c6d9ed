"""Reconciling: what was ordered against what was slipped and counted, for one order or many.

The facts are loaded in five queries however many orders there are; what follows from them is pure.
"""

import datetime as dt
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace

from django.db.models import CharField, Exists, OuterRef, Value

from parts.facts import LineFact, MovementFact, OrderFacts, ReceiptFact, SlipFact, by_number
from parts.models import (
    Expectation,
    KitLine,
    KitOrder,
    LocalPurchase,
    PartReturn,
    ReceiptLine,
    ReturnReason,
    ScrappedPart,
    SlipLine,
)
from parts.standing import LineStanding, OrderStanding, UnlistedPart

BOUGHT, SCRAPPED = "bought", "scrapped"
# Sent back for these reasons, a piece that had been counted as good is gone.
GOOD_WHEN_SENT = (ReturnReason.OVER, ReturnReason.DEFECTIVE)


def reconcile(order: KitOrder) -> OrderStanding:
    """How one order stands now."""
    return reconcile_many([order])[order.pk]


def reconcile_many(orders: Iterable[KitOrder]) -> dict[int, OrderStanding]:
    """How each of the orders stands now, by its key."""
    return {pk: standing_of(facts) for pk, facts in load_facts(list(orders)).items()}


def standing_of(facts: OrderFacts) -> OrderStanding:
    """What follows from the facts. The order of the receipts makes no difference."""
    slipped: dict[int, list[SlipFact]] = defaultdict(list)
    received: dict[int, list[ReceiptFact]] = defaultdict(list)
    moved: dict[int | None, Counter[str]] = defaultdict(Counter)
    for movement in facts.moved:
        moved[movement.kit_line_id][movement.how] += movement.pieces
    for slip_fact in facts.slipped:
        if slip_fact.kit_line_id is not None:
            slipped[slip_fact.kit_line_id].append(slip_fact)
    for fact in facts.received:
        if fact.kit_line_id is not None:
            received[fact.kit_line_id].append(fact)
    return OrderStanding(
        number=facts.number,
        lines=tuple(
            _with_movements(
                _line(line, slipped[line.kit_line_id], received[line.kit_line_id], facts.told),
                moved[line.kit_line_id],
            )
            for line in facts.lines
        ),
        unlisted=_unlisted(facts),
        has_slip=bool(facts.slipped),
        has_receipt=bool(facts.received),
        is_counted=_is_counted(facts),
    )


def _line(
    line: LineFact, slipped: list[SlipFact], received: list[ReceiptFact], told: dict[int, dt.date]
) -> LineStanding:
    counted_slips = {fact.slip_id for fact in received if fact.slip_id is not None}
    newest = [fact for fact in slipped if fact.slip_id == slipped[-1].slip_id]
    return LineStanding(
        kit_line_id=line.kit_line_id,
        part_number=line.part_number,
        description=line.description,
        side=line.side,
        operation=line.operation,
        is_critical=line.is_critical,
        ordered=line.ordered,
        slipped=sum(fact.slipped for fact in slipped),
        slipped_where_counted=sum(fact.slipped for fact in slipped if fact.slip_id in counted_slips),
        backordered=sum(fact.backordered for fact in newest),
        counted=sum(fact.counted for fact in received),
        damaged=sum(fact.damaged for fact in received),
        wrong=sum(fact.wrong for fact in received),
        is_counted=bool(received),
        told_eta=told.get(line.kit_line_id),
        slip_eta=max((fact.eta for fact in newest if fact.eta), default=None),
    )


def _with_movements(line: LineStanding, moved: Mapping[str, int]) -> LineStanding:
    """The line with what was bought elsewhere and what was sent back."""
    if not moved:
        return line
    return replace(
        line,
        bought=moved.get(BOUGHT, 0),
        scrapped=moved.get(SCRAPPED, 0),
        returned=sum(moved.get(reason, 0) for reason in GOOD_WHEN_SENT),
        damaged_returned=moved.get(ReturnReason.DAMAGED, 0),
        wrong_returned=moved.get(ReturnReason.WRONG, 0),
    )


def _unlisted(facts: OrderFacts) -> tuple[UnlistedPart, ...]:
    slipped = [fact for fact in facts.slipped if fact.kit_line_id is None]
    received = [fact for fact in facts.received if fact.kit_line_id is None]
    returned = [fact for fact in facts.moved if fact.kit_line_id is None]
    numbers = sorted({f.part_number for f in slipped} | {f.part_number for f in received})
    return tuple(
        UnlistedPart(
            part_number=number,
            description=_first_words(
                [*(f.description for f in slipped if f.part_number == number)],
                [*(f.note for f in received if f.part_number == number)],
            ),
            slipped=sum(f.slipped for f in slipped if f.part_number == number),
            counted=sum(f.came for f in received if f.part_number == number),
            returned=sum(f.pieces for f in returned if f.part_number == number),
        )
        for number in numbers
    )


def _first_words(*texts: list[str]) -> str:
    """What the slip calls a part, else what was noted when it was counted."""
    return next((", ".join(sorted(set(some))) for some in texts if any(some)), "")


def _is_counted(facts: OrderFacts) -> bool:
    if facts.is_carried_over and facts.received:
        return True
    of_slip: dict[int, set[str]] = defaultdict(set)
    for slip_fact in facts.slipped:
        of_slip[slip_fact.slip_id].add(slip_fact.part_number)
    for fact in facts.received:
        if fact.slip_id is not None:
            of_slip[fact.slip_id].discard(fact.part_number)
    if any(not left for left in of_slip.values()):
        return True
    of_kit = {line.kit_line_id for line in facts.lines} - {fact.kit_line_id for fact in facts.received}
    return bool(facts.lines) and not of_kit


def load_facts(orders: list[KitOrder]) -> dict[int, OrderFacts]:
    """What is known of each order, by its key, in five queries."""
    facts = {order.pk: OrderFacts(order.number) for order in orders}
    by_revision: dict[int, list[OrderFacts]] = defaultdict(list)
    for order in orders:
        by_revision[order.kit_revision_id].append(facts[order.pk])
    lines = KitLine.objects.filter(revision__in=by_revision).order_by("revision", "position")
    fields = ("pk", "part_number", "description", "side", "operation", "is_critical", "quantity")
    for revision_id, *line in lines.values_list("revision_id", *fields):
        line_fact = LineFact(*line)
        for one in by_revision[revision_id]:
            one.lines.append(line_fact)
    slipped = SlipLine.objects.filter(slip__order__in=facts).order_by("slip__dated_on", "slip", "pk")
    fields = ("slip_id", "kit_line_id", "part_number", "description", "slipped", "backordered", "eta")
    for order_id, *line in slipped.values_list("slip__order_id", *fields):
        facts[order_id].slipped.append(SlipFact(*line))
    # A day that was told before a piece was spoiled is not a day for its replacement.
    spoiled_since = ScrappedPart.objects.filter(
        order=OuterRef("order"),
        kit_line=OuterRef("kit_line"),
        scrapped_at__gte=OuterRef("entry__received_at"),
    )
    told = Expectation.objects.filter(~Exists(spoiled_since), order__in=facts).order_by("pk")
    for order_id, line_id, eta in told.values_list("order_id", "kit_line_id", "eta"):
        facts[order_id].told[line_id] = eta
    _load_received(facts)
    _load_moved(facts)
    _carry_over(facts)
    return facts


def _carry_over(facts: Mapping[int, OrderFacts]) -> None:
    """What came by a superseded list counts for the line of the same part number in the newer one."""
    foreign: dict[int, set[int]] = {}
    for pk, each in facts.items():
        found: set[int | None] = {fact.kit_line_id for fact in each.slipped}
        found |= {fact.kit_line_id for fact in each.received} | each.told.keys()
        found |= {fact.kit_line_id for fact in each.moved}
        foreign[pk] = {one for one in found if one is not None} - {line.kit_line_id for line in each.lines}
    if not any(foreign.values()):
        return
    rows = KitLine.objects.filter(pk__in=set().union(*foreign.values()))
    numbers: dict[int | None, str] = dict(rows.values_list("pk", "part_number"))
    for each in (facts[pk] for pk, found in foreign.items() if found):
        own = {line.part_number: line.kit_line_id for line in each.lines}
        each.is_carried_over = True
        each.slipped = [by_number(fact, own, numbers) for fact in each.slipped]
        each.received = [by_number(fact, own, numbers) for fact in each.received]
        each.moved = [by_number(fact, own, numbers) for fact in each.moved]
        each.told = {own[n]: eta for pk, eta in each.told.items() if (n := numbers.get(pk, "")) in own} | {
            pk: eta for pk, eta in each.told.items() if pk not in numbers
        }


def _load_received(facts: Mapping[int, OrderFacts]) -> None:
    """What was counted, each line with its newest recount in place of its first count."""
    rows = ReceiptLine.objects.filter(receipt__order__in=facts).order_by("receipt", "pk", "recounts__pk")
    fields = ("receipt__slip_id", "kit_line_id", "part_number", "note", "counted", "damaged", "wrong")
    again = ("recounts__counted", "recounts__damaged", "recounts__wrong")
    newest: dict[int, tuple[int, ReceiptFact]] = {}
    for line_id, order_id, *line in rows.values_list("pk", "receipt__order_id", *fields, *again):
        about, first, recount = line[:4], line[4:7], line[7:]
        newest[line_id] = order_id, ReceiptFact(*about, *(first if recount[0] is None else recount))
    for order_id, fact in newest.values():
        facts[order_id].received.append(fact)


def _load_moved(facts: Mapping[int, OrderFacts]) -> None:
    """What was bought elsewhere, what was sent back, what was spoiled in the work, in one query."""
    about = ("order_id", "kit_line_id")
    sent = PartReturn.objects.filter(order__in=facts).order_by()
    others = [
        model.objects.filter(order__in=facts)
        .order_by()
        .values_list(*about, "kit_line__part_number", Value(how, output_field=CharField()), "quantity")
        for how, model in ((BOUGHT, LocalPurchase), (SCRAPPED, ScrappedPart))
    ]
    rows = sent.values_list(*about, "part_number", "reason", "quantity").union(*others, all=True)
    for order_id, *movement in rows:
        facts[order_id].moved.append(MovementFact(*movement))
