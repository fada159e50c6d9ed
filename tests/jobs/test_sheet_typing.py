"""Typing in a filled sheet: signed by one, typed by another, judged and gated by the time on the sheet."""

import datetime as dt
import re
from collections.abc import Iterator
from html import unescape
from zoneinfo import ZoneInfo

import pytest
import time_machine
from django.http import HttpResponse
from django.test import Client

from jobs.models import Result
from jobs.papers.record_lines import RecordLines
from shop.models import Entry, SignedHow
from tests.jobs.small_route import SmallRoute, assert_accepted

ZONE = ZoneInfo("America/Chicago")


@pytest.fixture
def clock(route: SmallRoute) -> Iterator[time_machine.Traveller]:
    """The wall clock, set to where the car's own time has come."""
    with time_machine.travel(route.now, tick=False) as travelled:
        yield travelled


def at_the_joints(route: SmallRoute, clock: time_machine.Traveller) -> None:
    route.up_to("A10")
    assert_accepted(route.send("start", "A10", "fenn"))
    route.later(hours=2)
    clock.move_to(route.now)


def typed(route: SmallRoute, who: str = "lind", **lines: str) -> HttpResponse:
    """The form of the page as it stands now, with lines filled in, sent by somebody at a desk."""
    client = Client()
    client.force_login(route.people[who])
    address = f"/jobs/{route.job.number}/papers/typed/"
    page = client.get(address).content.decode()
    hidden = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', page))
    signed = {"person": "fenn", "day": f"{route.now.astimezone(ZONE):%Y-%m-%d}"}
    fields = {name.replace("__", "-").replace("_", ".", 1): text for name, text in lines.items()}
    return client.post(address, {**hidden, **signed, **fields})


def at(route: SmallRoute, minutes_ago: int) -> str:
    return f"{(route.now - dt.timedelta(minutes=minutes_ago)).astimezone(ZONE):%H:%M}"


def good(route: SmallRoute, code: str, minutes_ago: int = 60, **changed: str) -> dict[str, str]:
    key = code.replace(".", "_")
    told = {"value": "65", "instrument": "TW-1", "clicked": "yes", "lubricant": "yes", "new_hardware": "yes"}
    told = {**told, "time": at(route, minutes_ago), **changed}
    return {f"{key}__{name}": text for name, text in told.items() if text}


def words(response: HttpResponse) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", response.content.decode())).split())


def test_a_line_is_judged_signed_by_one_and_marked_as_typed_by_another(
    route: SmallRoute, clock: time_machine.Traveller
) -> None:
    at_the_joints(route, clock)
    answer = typed(route, **good(route, "A10.1"))
    assert answer.status_code == 302
    result = Result.objects.get(checkpoint__code="A10.1")
    assert (result.verdict, result.person.username) == ("conforms", "fenn")
    assert result.recorded_at == route.now - dt.timedelta(minutes=60)
    entry = result.entry
    assert (entry.signed_how, entry.entered_at, entry.received_at) == (
        SignedHow.PAPER,
        result.recorded_at,
        route.now,
    )
    assert entry.payload["typed_by"] == route.people["lind"].pk
    line = next(x for x in RecordLines.of(route.record).lines if x.code == "A10.1")
    assert line.typed_in == "Lind"
    client = Client()
    client.force_login(route.people["fenn"])
    assert "typed in from paper by Lind" in words(client.get(f"/jobs/{route.job.number}/A10/"))


def test_what_does_not_conform_opens_a_nonconformance_as_at_the_tablet(
    route: SmallRoute, clock: time_machine.Traveller
) -> None:
    at_the_joints(route, clock)
    assert typed(route, **good(route, "A10.1", value="90")).status_code == 302
    (found,) = route.record.open_nonconformances
    assert found.text.startswith("A10.1")


def test_a_wrong_line_keeps_what_was_typed_and_the_others_are_recorded(
    route: SmallRoute, clock: time_machine.Traveller
) -> None:
    at_the_joints(route, clock)
    wrong = good(route, "A10.3", value="about 35", lubricant="", new_hardware="")
    answer = typed(route, **good(route, "A10.1"), **wrong)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert 'value="about 35"' in page
    assert "A10.3: " in words(answer)
    assert [r.checkpoint.code for r in Result.objects.filter(job_operation__operation__code="A10")] == [
        "A10.1"
    ]


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"time": "25:00"}, "Write the time as on the sheet"),
        ({"time": ""}, "Write the time as on the sheet"),
        ({"lubricant": ""}, "Say that it was done with: dry"),
        ({"instrument": ""}, "instrument"),
        ({"value": "NaN"}, "A10.1:"),
        ({"value": "-65"}, "A10.1:"),
        ({"value": "9" * 400}, "A10.1:"),
    ],
)
def test_a_line_that_cannot_be_read_is_told(
    route: SmallRoute, clock: time_machine.Traveller, changed: dict[str, str], told: str
) -> None:
    at_the_joints(route, clock)
    answer = typed(route, **good(route, "A10.1", **changed))
    assert answer.status_code == 422
    assert told in words(answer)
    assert not Result.objects.filter(checkpoint__code="A10.1").exists()


@pytest.mark.parametrize(("minutes_ago", "told"), [(-30, "has not come yet"), (200, "not in work yet then")])
def test_a_time_that_cannot_be_is_told(
    route: SmallRoute, clock: time_machine.Traveller, minutes_ago: int, told: str
) -> None:
    at_the_joints(route, clock)
    answer = typed(route, **good(route, "A10.1", minutes_ago))
    assert answer.status_code == 422
    assert told in words(answer)


def test_gates_hold_on_paper_too_and_an_operation_may_have_been_begun_by_hand(
    route: SmallRoute, clock: time_machine.Traveller
) -> None:
    route.up_to("A10")
    route.later(hours=2)
    clock.move_to(route.now)
    refused = typed(route, **good(route, "A20.1", value="80", lubricant="", new_hardware=""))
    assert "start it first" in words(refused)
    begun = {"start-A10-time": at(route, 100)}
    client_answer = typed(route, start__A10__time=begun["start-A10-time"], **good(route, "A10.1"))
    assert client_answer.status_code == 302
    started = route.record.find("A10")
    assert started is not None
    assert started.job_operation.started_at == route.now - dt.timedelta(minutes=100)


def test_the_same_form_sent_twice_is_recorded_once(route: SmallRoute, clock: time_machine.Traveller) -> None:
    at_the_joints(route, clock)
    client = Client()
    client.force_login(route.people["lind"])
    address = f"/jobs/{route.job.number}/papers/typed/"
    page = client.get(address).content.decode()
    hidden = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', page))
    lines = {n.replace("_", ".", 1).replace("__", "-"): t for n, t in good(route, "A10.1").items()}
    form = {**hidden, "person": "fenn", "day": f"{route.now.astimezone(ZONE):%Y-%m-%d}", **lines}
    assert [client.post(address, form).status_code for _ in range(2)] == [302, 302]
    assert Result.objects.filter(checkpoint__code="A10.1").count() == 1


def test_without_person_day_or_line_nothing_is_recorded(
    route: SmallRoute, clock: time_machine.Traveller
) -> None:
    at_the_joints(route, clock)
    before = Entry.objects.count()
    answer = typed(route, person="", day="31/12/2099")
    for told in ("Say who signed the sheet", "Write the day of the sheet", "at least one line"):
        assert told in words(answer)
    assert Entry.objects.count() == before


@pytest.mark.parametrize(("who", "status"), [("fenn", 403), ("wren", 403), ("pike", 403), ("ash", 200)])
def test_a_lead_or_the_manager_types(
    route: SmallRoute, clock: time_machine.Traveller, who: str, status: int
) -> None:
    client = Client()
    client.force_login(route.people[who])
    assert client.get(f"/jobs/{route.job.number}/papers/typed/").status_code == status
