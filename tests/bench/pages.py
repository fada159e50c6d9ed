"""What is measured: each page beside a bare one, and again with a hundred times the history."""

import uuid
from collections.abc import Callable, Iterator
from functools import partial
from http import HTTPStatus

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from tests.bench import shop_of
from tests.bench.measuring import Ratio, compare, medians_of_each

JOB, OPERATION = 1002, "W30"
READ_JOB, READ_AT, WORKER = 1001, "A30.2", "tackwell"
READING = {
    "checkpoint": READ_AT,
    "left": "2 61/64",
    "right": "2 31/32",
    "instrument": "SR-1",
    "reason": "read again",
}
HISTORY_TIMES, HISTORY_AIM = 100, 1.2
COPY = ".before"
PAGES = {
    "job page": f"/jobs/{JOB}/",
    "operation page": f"/jobs/{JOB}/{OPERATION}/",
    "floor": "/floor/",
    "job list": "/jobs/?show=all",
}


def lines() -> Iterator[str]:
    """The bench's report, line by line, as it is measured."""
    client = _signed_in()
    yield f"{'':<58} {'ours':>11} {'bare':>11}"
    yield str(_beside(client, "job page", aim=2))
    yield str(_beside(client, "operation page", aim=2))
    yield str(_posted_result(client))
    shop_of.on_the_floor(cars=60)
    shop_of.released(jobs=2000)
    yield str(_beside(client, "floor", aim=2, what="floor with 60 cars"))
    yield str(_beside(client, "job list", aim=1.5, what="list with 2,000 jobs"))
    yield from _with_history(client)
    yield _unchanged(client)


def _with_history(client: Client) -> Iterator[str]:
    """The pages of the shop as it is, and of a copy with more history, by turns in the same minutes."""
    shop_of.copy_to(COPY)
    shop_of.history(times=HISTORY_TIMES)
    sites = {name: partial(shop_of.go_over_to, name) for name in ("", COPY)}
    took = medians_of_each(sites, _asks(client))
    shop_of.go_over_to("")
    for name in PAGES:
        yield str(
            Ratio(f"{name}, a hundred times the history", took[""][name], took[COPY][name], HISTORY_AIM)
        )


def _signed_in() -> Client:
    client = Client()
    client.force_login(shop_of.somebody_at_the_desk())
    return client


def _ask(client: Client, address: str) -> Callable[[], object]:
    def ask() -> None:
        answer = client.get(address)
        assert answer.status_code == HTTPStatus.OK, (address, answer.status_code)

    return ask


def _asks(client: Client) -> dict[str, Callable[[], object]]:
    return {name: _ask(client, address) for name, address in PAGES.items()}


def _beside(client: Client, name: str, *, aim: float, what: str = "") -> Ratio:
    address = PAGES[name]
    return compare(
        what or name, _ask(client, address), _ask(client, "/bare" + address.partition("?")[0]), aim=aim
    )


def _posted_result(client: Client) -> Ratio:
    """A reading from the tablet that supersedes the one before, beside a bare write by somebody signed in."""
    code = READ_AT.partition(".")[0]
    job, tablet = shop_of.in_work(READ_JOB, code), shop_of.at_the_tablet(READ_JOB, WORKER)
    seen: list[object] = [shop_of.last_seen(job, code)]
    about = {"saw": seen[0], "subject": code}
    tablet.post(f"/tablet/{READ_JOB}/entries/", {"entry_id": uuid.uuid4(), "kind": "cautions_seen", **about})

    def ours() -> None:
        seen.append(uuid.uuid4())
        sent = {
            "entry_id": seen[-1],
            "saw": seen[-2],
            "subject": code,
            "kind": "reading",
            **{f"p_{name}": value for name, value in READING.items()},
        }
        answer = tablet.post(f"/tablet/{READ_JOB}/entries/", sent)
        assert answer.status_code == HTTPStatus.FOUND, answer.content.decode()[-3000:]

    def bare() -> None:
        answer = client.post(f"/bare/jobs/{JOB}/write/", {"text": uuid.uuid4().hex})
        assert answer.status_code == HTTPStatus.OK

    return compare("one posted result", ours, bare, aim=3)


def _unchanged(client: Client) -> str:
    """An unchanged floor that asks again: how many queries beyond those of the sign-in."""
    etag = client.get("/floor/")["ETag"]
    with CaptureQueriesContext(
        connection,
    ) as seen:
        answer = client.get("/floor/", headers={"if-none-match": etag})
    sign_in = [q for q in seen if "django_session" in q["sql"] or "shop_person" in q["sql"]]
    return f"unchanged floor: {answer.status_code}, {len(seen) - len(sign_in)} queries beyond the sign-in"
