"""Nonsense posted at every address by everybody: a clear answer, never an error of the site's own."""

import os
import uuid
from pathlib import Path

import pytest
from django.test import Client

from tests.jobs.small_route import SmallRoute
from tests.prove.fuzzing import fuzz

pytestmark = pytest.mark.django_db
# The suite has time for a few; bin/prove asks for many more and keeps a report.
POSTS = int(os.environ.get("SCRIBELINE_FUZZED_POSTS", "250"))
REPORT = os.environ.get("SCRIBELINE_REPORT", "")


def test_no_post_is_answered_with_an_error(route: SmallRoute) -> None:
    route.up_to("C10")
    clients = {"nobody": Client()}
    for name in ("wren", "fenn", "lind", "pike", "ash"):
        clients[name] = Client()
        clients[name].force_login(route.people[name])
    values = {
        "number": [route.job.number, 9999, "K-9"],
        "code": ["C10", "P-9", "KIT-9", "nothing"],
        "revision": ["A", "Z"],
        "document_id": [uuid.UUID(int=7)],
        "key": ["clamp", "nothing"],
        "token": ["nothing"],
    }
    outcome = fuzz(clients, values, count=POSTS, seed=1)
    if REPORT:
        statuses = ", ".join(f"{status}: {n}" for status, n in sorted(outcome.statuses.items()))
        told = (
            f"{POSTS} fuzzed posts, seed 1, {len(outcome.faults)} errors of the site. Answers: {statuses}\n"
        )
        Path(REPORT).write_text(told + "\n".join(outcome.faults), encoding="utf-8")
    assert outcome.faults == []
    assert sum(outcome.statuses.values()) == POSTS


@pytest.fixture
def route(db: None) -> SmallRoute:
    return SmallRoute()
