"""Nonsense posted at every address by everybody: a clear answer, never an error of the site's own."""

import os
import uuid
from collections import Counter
from pathlib import Path

import pytest
import time_machine
from django.test import Client

from tests.jobs.bay import Bay
from tests.jobs.desk import give_pins
from tests.jobs.small_route import SmallRoute
from tests.plain_browser import PlainBrowser
from tests.prove.clumsy import wander
from tests.prove.fuzzing import fuzz

pytestmark = pytest.mark.django_db
# The suite has time for a few; bin/prove asks for many more and keeps a report.
POSTS = int(os.environ.get("SCRIBELINE_FUZZED_POSTS", "250"))
REPORT = os.environ.get("SCRIBELINE_REPORT", "")
DESKS = ("wren", "lind", "thorn", "pike", "ash")


def test_no_post_is_answered_with_an_error(route: SmallRoute) -> None:
    """Half of them by forms as they stand in pages, half at any address with any fields."""
    route.up_to("C10")
    give_pins(route)
    bay = Bay(route)
    with time_machine.travel(route.now):
        by_forms = wander(_browsers(route, bay), count=POSTS // 2, seed=1)
        by_address = fuzz(_clients(route), _values(route), count=POSTS - POSTS // 2, seed=1)
    faults = [*by_forms.faults, *by_address.faults]
    if REPORT:
        told = [f"{POSTS} fuzzed posts, seed 1, {len(faults)} errors of the site."]
        told += [_line("By forms in pages", by_forms.statuses)]
        told += [_line("At any address with any fields", by_address.statuses), *faults]
        Path(REPORT).write_text("\n".join(told) + "\n", encoding="utf-8")
    assert faults == []
    assert sum((by_forms.statuses + by_address.statuses).values()) == POSTS


def _line(what: str, statuses: Counter[int]) -> str:
    return f"{what}: " + ", ".join(f"{status}: {n}" for status, n in sorted(statuses.items()))


def _browsers(route: SmallRoute, bay: Bay) -> dict[str, PlainBrowser]:
    """Five people at their desks, and the tablet with somebody's turn."""
    found = {name: PlainBrowser() for name in (*DESKS, "tablet")}
    for name in DESKS:
        found[name].client.force_login(route.people[name])
    found["tablet"].client.cookies = bay.client.cookies
    return found


def _clients(route: SmallRoute) -> dict[str, Client]:
    clients = {"nobody": Client()}
    for name in ("wren", "fenn", "lind", "pike", "ash"):
        clients[name] = Client()
        clients[name].force_login(route.people[name])
    return clients


def _values(route: SmallRoute) -> dict[str, list[object]]:
    """What the converters of addresses may be given: rows that exist, and some that do not."""
    return {
        "number": [route.job.number, 9999, "K-9"],
        "code": ["C10", "P-9", "KIT-9", "nothing"],
        "revision": ["A", "Z"],
        "document_id": [uuid.UUID(int=7)],
        "key": ["clamp", "nothing"],
        "token": ["nothing"],
    }


@pytest.fixture
def route(db: None) -> SmallRoute:
    return SmallRoute()
