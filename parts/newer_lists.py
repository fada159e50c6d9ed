"""Orders by a superseded kit list about which nobody has decided, and what the list in force changes.

Asked of the rows alone, so that whoever loads a car may ask here: no question goes back to the cars.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from parts.kit_differences import KitDifferences, kit_differences
from parts.kit_sheet import kit_sheets
from parts.models import KitDecision, KitOrder, KitRevision
from shop.revisions import RevisionState


@dataclass(frozen=True)
class NewerList:
    """The list `old` of an order that `new` has superseded, with nothing decided for this order yet."""

    order: str
    old: KitRevision
    new: KitRevision
    words: KitDifferences

    @property
    def touched(self) -> frozenset[str]:
        """The codes of the operations that need a part which the newer list changes."""
        return self.words.touched

    def parts_of(self, operations: Collection[str]) -> tuple[str, ...]:
        """The numbers of the parts that are changed and that one of these operations needs."""
        changes = self.words.operations
        return tuple(each.code for each in changes if not each.operations.isdisjoint(operations))


def undecided_lists(orders: Iterable[KitOrder]) -> dict[int, KitRevision]:
    """The list in force for each order that waits for a decision, by its key.

    In two queries for any number of orders, read `with_kit`; in none where no order's list is superseded.
    """
    behind = [order for order in orders if order.kit_revision.state == RevisionState.SUPERSEDED]
    if not behind:
        return {}
    kits = {order.kit_revision.kit_id for order in behind}
    released = KitRevision.objects.filter(kit__in=kits, state=RevisionState.RELEASED)
    in_force = {row.kit_id: row for row in released.select_related("kit__supplier")}
    rows = KitDecision.objects.filter(order__in=[order.pk for order in behind])
    decided = set(rows.values_list("order_id", "to_revision_id"))
    return {
        order.pk: new
        for order in behind
        if (new := in_force.get(order.kit_revision.kit_id)) and (order.pk, new.pk) not in decided
    }


def kit_decisions(orders: Iterable[KitOrder]) -> dict[int, tuple[KitDecision, ...]]:
    """What was decided about each order when a list was superseded, the oldest first; in one query."""
    found: dict[int, list[KitDecision]] = defaultdict(list)
    rows = KitDecision.objects.filter(order__in=[order.pk for order in orders]).order_by("pk")
    for row in rows.select_related("from_revision__kit", "to_revision__kit", "person", "second"):
        found[row.order_id].append(row)
    return {key: tuple(of_order) for key, of_order in found.items()}


def newer_lists(orders: Sequence[KitOrder]) -> dict[int, NewerList]:
    """What the list in force changes for each order that waits for a decision, by its key.

    In three queries for any number of orders, read `with_kit`; in none where no order's list is superseded.
    """
    waiting = undecided_lists(orders)
    if not waiting:
        return {}
    old = {order.pk: order.kit_revision for order in orders if order.pk in waiting}
    sheets = kit_sheets([*old.values(), *waiting.values()])
    words: dict[tuple[int, int], KitDifferences] = {}
    found = {}
    for order in orders:
        if (new := waiting.get(order.pk)) is not None:
            pair = (old[order.pk].pk, new.pk)
            if pair not in words:
                words[pair] = kit_differences(sheets[pair[0]], sheets[pair[1]])
            found[order.pk] = NewerList(order.number, old[order.pk], new, words[pair])
    return found
