"""A newer list of the short route's kit, and what is decided about its car, by hand."""

import uuid
from typing import Any

from parts.entering import Signed
from parts.kit_files import bring_in_kit
from parts.kit_superseding import decide
from parts.models import KitAnswer
from parts.receiving import last_seen
from shop.entries import Answer
from shop.models import SignedHow
from tests.jobs.short_files import KIT
from tests.jobs.small_route import SmallRoute

# One bolt more than the first list has, for A10.
BOLT = ("Arm bolt,4,", "Arm bolt,6,")
CRADLE = ("TC-CRADLE,Cradle,1,", "TC-CRADLE,Cradle with tabs,1,")


def release_list(route: SmallRoute, *changes: tuple[str, str], name: str = "B") -> None:
    text = KIT.replace("KIT-9,A,", f"KIT-9,{name},")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    by, released_by = route.people["lind"], route.people["ash"]
    bring_in_kit(text.encode(), by=by, now=route.now, release=True, released_by=released_by)


def decide_list(route: SmallRoute, answer: KitAnswer, *, to: str = "B", **more: Any) -> Answer:
    order = route.fresh_job().kit_order
    signed = Signed(uuid.uuid4(), last_seen(order), route.people["lind"], SignedHow.PIN)
    given = {"reason": "The maker's letter", "second": route.people["thorn"], **more}
    return decide(order=order, to=to, answer=answer, signed=signed, now=route.now, **given)
