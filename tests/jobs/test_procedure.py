"""The page of one revision: its route, its limits in both units, what cannot be proved; and its file."""

import re
from html import unescape

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from jobs.models import ProcedureRevision
from shop.models import Role
from tests.factories import CalibrationFactory, InstrumentFactory
from tests.jobs.cradle_files import CRADLE_PROCEDURE, WELD_MAP
from tests.jobs.procedure_desk import EVERYBODY, desk_of, kept
from tests.jobs.procedure_texts import PROCEDURE_TEXT, changed

pytestmark = pytest.mark.django_db


def address(revision: ProcedureRevision, name: str = "procedure") -> str:
    return reverse(f"jobs:{name}", args=[revision.procedure.code, revision.revision])


def words(html: str) -> str:
    """The text of a page as it reads and copies, its tags left out."""
    return " ".join(unescape(re.sub(r"<[^>]*>", "", html)).split())


def page(revision: ProcedureRevision, role: str = Role.FABRICATOR) -> str:
    answer = desk_of(role).get(address(revision))
    assert answer.status_code == 200
    return answer.content.decode()


@pytest.mark.parametrize("role", EVERYBODY)
def test_everybody_reads_the_whole_route(role: str) -> None:
    said = words(page(kept(release=True), role))
    for piece in (
        "revision A, released",
        "5 operations, 12 checkpoints",
        "5 h 45 min",
        "T10 Level the shell and take the baseline",
        "gate: cuts structure",
        "hold point",
        "after T10, C20",
        "Never work under a car that stands on a jack alone.",
        "12 pieces",
        "criteria: No crack; Full plugs",
        "second person reads T10.2 again",
        "new hardware every time",
        "tightened at ride height",
    ):
        assert piece in said


def test_limits_stand_in_both_units() -> None:
    said = words(page(kept()))
    assert "29 1/2 ±1/16 in" in said
    assert "747.8 mm to 750.8 mm" in said
    assert "40 ±4 lbf·ft" in said
    assert "48.9 N·m to 59.6 N·m" in said


def test_default_tolerance_is_shown_as_such() -> None:
    said = words(page(kept(changed("limit: 29 1/2 ±1/16 in", "limit: 29 1/2 in"))))
    assert "29 7/16 in to 29 9/16 in (the shop's default tolerance)" in said


def test_what_cannot_be_proved_is_named_and_marked() -> None:
    said = words(page(kept()))
    assert "A50.1 “65 +5 −0 lbf·ft”: there is no click torque wrench in calibration here." in said
    assert "Cannot be proved here today" in said


def test_only_a_draft_is_released_and_only_by_those_who_may() -> None:
    draft = kept()
    link = address(draft, "procedure_release")
    assert link in page(draft, Role.MANAGER)
    assert link not in page(draft, Role.FABRICATOR)
    released = kept(changed("revision: A", "revision: B"), release=True)
    said = page(released, Role.MANAGER)
    assert address(released, "procedure_release") not in said
    assert "What is released never changes" in said
    assert address(draft) in said


@pytest.mark.parametrize("name", ["procedure", "procedure_export", "procedure_release"])
def test_what_is_not_there_is_not_found(name: str) -> None:
    kept()
    assert desk_of(Role.LEAD).get(reverse(f"jobs:{name}", args=["FC-T1", "Z"])).status_code == 404


def test_export_is_the_canonical_file() -> None:
    revision = kept(release=True)
    answer = desk_of(Role.SERVICE_WRITER).get(address(revision, "procedure_export"))
    assert answer["Content-Type"] == "application/yaml; charset=utf-8"
    assert answer["Content-Disposition"] == 'attachment; filename="FC-T1_A.yaml"'
    assert answer.content.decode().startswith("format: 1\nprocedure:\n  code: FC-T1\n")
    assert "limit: 65 +5 −0 lbf·ft\n" in answer.content.decode()


def test_what_people_wrote_is_shown_as_text() -> None:
    said = page(kept(changed("title: Cut the rails", "title: <b>Cut</b> & grind")))
    assert "&lt;b&gt;Cut&lt;/b&gt; &amp; grind" in said


def test_queries_do_not_grow_with_operations_and_instruments() -> None:
    desk = desk_of(Role.LEAD)
    CalibrationFactory(instrument=InstrumentFactory())
    small = kept()
    with CaptureQueriesContext(connection) as few:
        desk.get(address(small))
    start = PROCEDURE_TEXT.index("  - code: W40")
    more = "".join(
        PROCEDURE_TEXT[start:].replace("W40", f"W4{n}").replace("A50", f"A5{n}") for n in range(1, 9)
    )
    large = kept((PROCEDURE_TEXT.replace("FC-T1", "FC-T2") + more).encode())
    for _number in range(6):
        CalibrationFactory(instrument=InstrumentFactory())
    with CaptureQueriesContext(connection) as many:
        assert desk.get(address(large)).context["page"].operation_count == 21
    assert len(many) == len(few)


def test_weld_map_cradle_and_holes_are_shown() -> None:
    text = CRADLE_PROCEDURE.replace("  cradle:\n", f"{WELD_MAP}  cradle:\n", 1)
    text = text.replace(
        "    checkpoints:\n", "    holes: [{name: sleeve, size: 1 1/4 in}]\n    checkpoints:\n", 1
    )
    said = page(kept(text.encode()))
    assert ">S1</text>" in said
    assert "The cradle from above" in said
    assert "sleeve: size 1 1/4 in" in words(said)
