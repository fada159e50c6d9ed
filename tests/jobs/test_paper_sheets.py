"""Sheets to fill by hand when the tablets are down, and what is never taken from one."""

import datetime as dt
import re
import uuid
from html import unescape

import pytest
from django.template.loader import render_to_string

from jobs.bad_input import BadInput
from jobs.models import BookedTime
from jobs.papers.blank_sheets import build_dimension_sheet, build_torque_sheet
from jobs.recording import FloorEntry, record_entry
from shop.documents.models import Document
from shop.entries import Answer
from shop.models import Instrument, Outcome, SignedHow
from tests.jobs.small_route import GOOD, SmallRoute, assert_accepted


def test_sheets_hold_what_is_open_with_room_to_write(route: SmallRoute) -> None:
    route.up_to("A10")
    assert_accepted(route.send("start", "A10", "fenn"))
    assert_accepted(route.read("A10.1"))
    document = Document(stream=route.job.stream, issue=1, asked_at=route.now)
    sheets = {}
    for name, build in (("torque", build_torque_sheet), ("dimension", build_dimension_sheet)):
        paper = build(document)
        html = render_to_string(paper.template, {**paper.context, "title": paper.title, "sheet": "letter"})
        sheets[name] = " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())
    codes = set(re.findall(r"[A-Z][0-9]+\.[0-9]", sheets["torque"]))
    assert codes == {"A10.2", "A10.3", "A10.4", "A20.1"}
    assert "A10.4 Rack bolt 20 ±10 % lbf·ft" in sheets["torque"]
    assert "turned °" in sheets["torque"]
    assert "a second person's own reading, hold points" in sheets["torque"]
    assert "Nothing of this kind is open on this car." in sheets["dimension"]


def sent_on_paper(
    route: SmallRoute,
    kind: str,
    subject: str,
    typist: str = "lind",
    *,
    at: dt.datetime | None = None,
    **payload: str,
) -> Answer:
    return record_entry(
        FloorEntry(
            id=uuid.uuid4(),
            job_number=route.job.number,
            subject=subject,
            kind=kind,
            signer=route.people["moss"],
            signed_how=SignedHow.PAPER,
            saw=route.record.saw(subject),
            payload={**payload, "typed_by": route.people[typist].pk},
            entered_at=at or route.now,
        ),
        now=route.now,
    )


@pytest.mark.parametrize(
    ("kind", "payload"),
    [
        ("witness", {"checkpoint": "C10.2", "value": "29 1/2", "instrument": "TP-1"}),
        ("finish", {}),
        ("release", {}),
        ("override", {"reason_code": "x", "reason": "y"}),
        ("accept_close", {"checkpoint": "C10.1", "reason": "y"}),
        ("disposition", {"nonconformance": "1", "disposition": "rework", "reason": "y"}),
    ],
)
def test_what_takes_the_person_is_never_taken_from_paper(
    route: SmallRoute, kind: str, payload: dict[str, str]
) -> None:
    route.up_to("C10")
    assert_accepted(route.send("start", "C10", "fenn"))
    assert_accepted(route.read("C10.1"))
    answer = sent_on_paper(route, kind, "C10", **payload)
    assert answer.outcome == Outcome.REFUSED
    assert "never taken from paper" in str(answer.data)


def test_only_torques_and_dimensions_come_from_paper_and_only_a_lead_types(route: SmallRoute) -> None:
    route.up_to("T10")
    assert_accepted(route.send("start", "T10", "fenn"))
    fit = sent_on_paper(route, "reading", "T10", checkpoint="T10.1", go="yes")
    assert "Only torques and dimensions" in str(fit.data)
    other = sent_on_paper(route, "reading", "T10", "fenn", checkpoint="T10.1", go="yes")
    assert "typed in by a lead" in str(other.data)


def test_what_is_typed_in_later_books_no_time(route: SmallRoute) -> None:
    """Whoever filled the sheet is not at the car now."""
    route.up_to("A10")
    route.later(minutes=5)
    assert_accepted(sent_on_paper(route, "start", "A10"))
    given = {name: str(value) for name, value in GOOD["A10.3"].items()}
    assert_accepted(sent_on_paper(route, "reading", "A10", checkpoint="A10.3", **given))
    assert not BookedTime.objects.filter(ended_at=None).exists()


def written_at(route: SmallRoute, at: dt.datetime, checkpoint: str = "A10.3") -> Answer:
    """A sheet that was filled in earlier, typed in now."""
    given = {name: str(value) for name, value in GOOD[checkpoint].items()}
    return sent_on_paper(route, "reading", checkpoint.split(".")[0], checkpoint=checkpoint, at=at, **given)


def test_a_torque_written_before_the_joint_was_loosened_does_not_close_it_again(route: SmallRoute) -> None:
    route.up_to("A10")
    assert_accepted(route.send("start", "A10", "fenn"))
    assert_accepted(route.read("A10.3"))
    route.later(minutes=20)
    between = route.now
    route.later(minutes=20)
    assert_accepted(route.send("loosen", "A10", "fenn", checkpoint="A10.3", reason="Wrong washer"))
    route.later(minutes=20)
    with pytest.raises(BadInput, match="was opened again after that: joint loosened"):
        written_at(route, between)
    assert_accepted(written_at(route, route.now))


def test_a_position_written_before_the_last_weld_is_not_the_one_measured_after_it(route: SmallRoute) -> None:
    route.up_to("W40")
    assert_accepted(route.send("start", "W40", "fenn"))
    route.later(minutes=10)
    before = route.now
    route.later(minutes=10)
    assert_accepted(route.send("reading", "W30", "fenn", checkpoint="W30.1", go="yes", reason="Again"))
    assert_accepted(route.read("W30.2", reason="One plug ground out and welded again"))
    route.later(minutes=10)
    with pytest.raises(BadInput, match="welded after that"):
        written_at(route, before, "W40.2")


def test_a_wrench_found_bad_since_proves_nothing_of_what_was_written_before(route: SmallRoute) -> None:
    """It was in calibration on the day of the sheet; by the day of typing it is known to be bad."""
    route.up_to("A10")
    assert_accepted(route.send("start", "A10", "fenn"))
    route.later(minutes=20)
    then = route.now
    route.later(days=1)
    wrench, day = Instrument.objects.get(code="TW-1"), route.now.date()
    wrench.calibrations.create(done_on=day, due_on=day, way="certificate", passed=False)
    with pytest.raises(BadInput, match="TW-1 was found bad on"):
        written_at(route, then)
