"""What stands beside the cars: who is away, which bay is closed, what suppliers wrote, customers' links."""

import datetime as dt
import uuid
from collections.abc import Mapping
from typing import Any

from jobs.customer_link.links import make_link
from jobs.demo.files import day
from jobs.models import Job
from parts.expecting import expect
from parts.models import KitOrder
from parts.receiving import last_seen
from shop.keeping import keep
from shop.models import Absence, Bay, BayClosure, Person, SignedHow


def keep_absences(data: Mapping[str, Any], people: Mapping[str, Person], *, by: Person, now: dt.datetime,
                  today: dt.date) -> None:  # fmt: skip
    """Who is away and which bay is closed in the days to come, for the plan to know."""
    for row in data["absences"]:
        first, last = day(row["first"], today), day(row["last"], today)
        absence = Absence(person=people[row["person"]], first_day=first, last_day=last, note=row["note"])
        keep(absence, changed=["first_day", "last_day", "note"], added=True, by=by, now=now)
    for row in data["closures"]:
        bay = Bay.objects.get(number=int(row["bay"]))
        first, last = day(row["first"], today), day(row["last"], today)
        closure = BayClosure(bay=bay, first_day=first, last_day=last, reason=row["reason"])
        keep(closure, changed=["first_day", "last_day", "reason"], added=True, by=by, now=now)


def keep_word(entry: Mapping[str, Any], people: Mapping[str, Person], *, now: dt.datetime,
              today: dt.date) -> None:  # fmt: skip
    """What the supplier wrote about pieces that are missing."""
    for number, word in enumerate(entry.get("expected_parts", ()), start=1):
        order = KitOrder.objects.get(number=entry["number"])
        answer = expect(
            order=order,
            part_number=word["part"],
            eta=day(word["eta"], today),
            note=word["note"],
            entry_id=uuid.uuid5(uuid.NAMESPACE_OID, f"{order.number}/expected/{number}"),
            saw=last_seen(order),
            signer=people[word["by"]],
            signed_how=SignedHow.LOADED,
            now=now,
        )
        if not answer.accepted:
            raise RuntimeError(f"{order.number}: {answer.data}")


def give_link(job: Job, *, by: Person, now: dt.datetime) -> None:
    """A private link for the customer, as the desk makes one; its secret is kept nowhere."""
    make_link(job, wish=uuid.uuid5(uuid.NAMESPACE_OID, f"link/{job.number}"), by=by, now=now)
