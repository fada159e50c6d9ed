"""Bringing procedures in: all or nothing, once, with its event; and what is released stays as it is."""

import datetime as dt

import pytest
from django.db import models

from jobs.models import Checkpoint, Operation, Procedure, ProcedureRevision
from jobs.procedures.bringing_in import ProcedureNews, bring_in_procedure, export_procedure
from jobs.procedures.drafting import begin_draft
from jobs.procedures.file.rows import data_of
from jobs.procedures.releasing import release_procedure
from shop.file_errors import FileErrors
from shop.models import Event, Person, Role, StreamHead
from shop.revisions import FrozenRevisionError, RevisionState
from shop.verification import verify_record
from tests.factories import KitDefinitionFactory, KitLineFactory, KitRevisionFactory, PersonFactory
from tests.jobs.procedure_texts import PROCEDURE, changed, line_of

pytestmark = pytest.mark.django_db
NOW = dt.datetime(2030, 4, 15, 17, 0, tzinfo=dt.UTC)
NEXT_REVISION = changed("revision: A", "revision: B").replace(b"minutes: 45", b"minutes: 50")


@pytest.fixture
def lead() -> Person:
    return PersonFactory(role=Role.LEAD)


def brought_in(lead: Person, content: bytes = PROCEDURE, *, release: bool = False) -> ProcedureRevision:
    other = PersonFactory(role=Role.LEAD) if release else None
    return bring_in_procedure(content, by=lead, now=NOW, release=release, released_by=other).revision


def errors_of(lead: Person, content: bytes, *, replace_draft: bool = False) -> list[str]:
    with pytest.raises(FileErrors) as caught:
        bring_in_procedure(content, by=lead, now=NOW, release=False, replace_draft=replace_draft)
    return [str(error) for error in caught.value.errors]


def counts() -> list[int]:
    rows: list[type[models.Model]] = [Procedure, ProcedureRevision, Operation, Checkpoint, Event, StreamHead]
    return [model._base_manager.count() for model in rows]


def test_draft_holds_what_the_file_says(lead: Person) -> None:
    revision = brought_in(lead)
    assert revision.state == RevisionState.DRAFT
    assert (revision.procedure.kit_code, revision.layout["datums"]) == (
        "KIT-T1",
        ["A", "B: behind the firewall"],
    )
    assert [o.code for o in revision.operations.all()] == ["T10", "C20", "W30", "W40", "A50"]
    assert Checkpoint.objects.filter(operation__revision=revision).count() == 12


def test_export_reads_back_as_the_same_and_is_stable(lead: Person) -> None:
    revision = brought_in(lead)
    text = export_procedure(revision)
    again = bring_in_procedure(text.encode(), by=lead, now=NOW, release=False)
    assert again.news is ProcedureNews.NOTHING
    assert again.revision == revision
    assert export_procedure(again.revision) == text
    assert text.startswith("format: 1\nprocedure:\n  code: FC-T1\n")


def test_event_names_every_row_and_nobody(lead: Person) -> None:
    brought_in(lead, release=True)
    kinds = list(Event.objects.filter(stream="procedure/FC-T1").values_list("kind", flat=True))
    assert kinds == ["procedure.brought_in", "procedure.released"]
    found = verify_record()
    assert found.is_whole
    assert found.rows == 1 + 1 + 5 + 12
    payloads = b"".join(bytes(event.payload) for event in Event.objects.all())
    assert lead.full_name.encode() not in payloads


def test_row_changed_behind_its_back_is_found(lead: Person) -> None:
    brought_in(lead, release=True)
    Checkpoint.objects.filter(code="T10.1").update(limit="29 1/2 ±1/2 in")
    assert [f.what for f in verify_record().findings] == ["was changed"]


def test_nothing_is_saved_of_a_file_with_an_error(lead: Person) -> None:
    assert errors_of(lead, changed("count: 12", "count: dozen"))
    assert counts() == [0, 0, 0, 0, 0, 0]


def test_same_content_again_is_no_news(lead: Person) -> None:
    first = brought_in(lead, release=True)
    before = counts()
    again = bring_in_procedure(PROCEDURE.replace(b"\n", b"\r\n"), by=lead, now=NOW, release=False)
    assert (again.news, again.revision) == (ProcedureNews.NOTHING, first)
    assert counts() == before


def test_same_content_again_may_be_released(lead: Person) -> None:
    brought_in(lead)
    other = PersonFactory(role=Role.LEAD)
    again = bring_in_procedure(PROCEDURE, by=lead, now=NOW, release=True, released_by=other)
    assert again.news is ProcedureNews.RELEASED
    assert again.revision.state == RevisionState.RELEASED


def test_released_revision_with_other_content_is_refused(lead: Person) -> None:
    brought_in(lead, release=True)
    before = counts()
    content = changed("minutes: 45", "minutes: 50")
    (error,) = errors_of(lead, content, replace_draft=True)
    assert error == (
        f"line {line_of('revision')}, procedure revision: FC-T1 A is released with other content and never"
        " changes; give it a new revision"
    )
    assert counts() == before


def test_draft_with_other_content_is_replaced_only_where_asked(lead: Person) -> None:
    brought_in(lead)
    content = changed("minutes: 45", "minutes: 50").replace(b"        count: 12\n", b"        count: 14\n")
    (error,) = errors_of(lead, content)
    assert "FC-T1 A is here as a draft with other content" in error
    brought = bring_in_procedure(content, by=lead, now=NOW, release=False, replace_draft=True)
    assert brought.news is ProcedureNews.CHANGED
    assert data_of(brought.revision).operations[0].minutes == 50
    assert Operation.objects.count() == 5
    assert verify_record().is_whole


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ("name: Test clip, bolted and welded", "name: Another clip", "name"),
        ("kit: KIT-T1", "kit: KIT-T2", "kit"),
        ("vehicle_family: Invented saloon, 1960-69", "vehicle_family: Invented pickup", "vehicle_family"),
    ],
)
def test_code_stays_with_one_procedure(lead: Person, old: str, new: str, key: str) -> None:
    brought_in(lead, release=True)
    content = changed(old, new).replace(b"revision: A", b"revision: B")
    (error,) = errors_of(lead, content)
    assert error.startswith(f"line {line_of(new, content)}, procedure {key}: FC-T1 is known here with “")


def test_next_revision_supersedes_the_one_before(lead: Person) -> None:
    first = brought_in(lead, release=True)
    second = brought_in(lead, NEXT_REVISION, release=True)
    first.refresh_from_db()
    assert (first.state, second.state) == (RevisionState.SUPERSEDED, RevisionState.RELEASED)
    assert second.released_at == NOW
    assert data_of(first).operations[0].minutes == 45
    assert verify_record().is_whole


def test_draft_beside_it_changes_nothing_in_force(lead: Person) -> None:
    first = brought_in(lead, release=True)
    brought_in(lead, NEXT_REVISION)
    first.refresh_from_db()
    assert first.state == RevisionState.RELEASED


def test_releasing_twice_is_one_release(lead: Person) -> None:
    revision = brought_in(lead, release=True)
    release_procedure(revision=revision, by=lead, now=NOW + dt.timedelta(days=1))
    revision.refresh_from_db()
    assert revision.released_at == NOW
    assert Event.objects.filter(kind="procedure.released").count() == 1


@pytest.mark.parametrize("state", [RevisionState.RELEASED, RevisionState.SUPERSEDED])
def test_what_was_released_refuses_to_change(lead: Person, state: RevisionState) -> None:
    revision = brought_in(lead, release=True)
    if state == RevisionState.SUPERSEDED:
        brought_in(lead, NEXT_REVISION, release=True)
        revision.refresh_from_db()
    operation = revision.operations.get(code="T10")
    checkpoint = operation.checkpoints.get(code="T10.1")
    new = Operation(
        revision=revision, position=99, code="Z99", stage="release", title="Late", standard_minutes=1
    )
    for row in (revision, operation, checkpoint, new):
        with pytest.raises(FrozenRevisionError):
            row.save()
    for row in (checkpoint, operation, revision):
        with pytest.raises(FrozenRevisionError):
            row.delete()
    assert verify_record().is_whole


def test_released_revision_does_not_become_a_draft_again(lead: Person) -> None:
    revision = brought_in(lead, release=True)
    revision.state = RevisionState.DRAFT
    with pytest.raises(FrozenRevisionError):
        revision.save(update_fields=["state"])


def test_draft_may_change(lead: Person) -> None:
    revision = brought_in(lead)
    operation = revision.operations.get(code="T10")
    operation.title = "Level the shell"
    operation.save(update_fields=["title"])
    assert revision.operations.get(code="T10").title == "Level the shell"


def test_kit_that_is_not_known_is_told(lead: Person) -> None:
    brought = bring_in_procedure(PROCEDURE, by=lead, now=NOW, release=False)
    (told,) = [w for w in brought.warnings if w.name == "procedure kit"]
    assert told.line == line_of("kit: KIT-T1")
    assert told.message == "kit KIT-T1 is not known yet; bring in its list before a job is opened"


def test_part_needed_at_an_operation_that_is_not_there_is_told(lead: Person) -> None:
    kit = KitRevisionFactory(kit=KitDefinitionFactory(code="KIT-T1"))
    KitLineFactory(revision=kit, part_number="T1-100", operation="W30")
    KitLineFactory(revision=kit, part_number="T1-200", operation="Z99")
    brought = bring_in_procedure(PROCEDURE, by=lead, now=NOW, release=False)
    (told,) = [w for w in brought.warnings if w.name == "procedure kit"]
    assert told.message == (
        "KIT-T1 A: part T1-200 is first needed at Z99, which this procedure does not have"
    )


def test_whoever_wrote_it_is_not_the_only_eyes_when_it_is_released_from_a_file(lead: Person) -> None:
    with pytest.raises(FileErrors, match="Somebody else releases it"):
        bring_in_procedure(PROCEDURE, by=lead, now=NOW, release=True)
    assert counts() == [0, 0, 0, 0, 0, 0]


def test_a_file_does_not_write_over_what_is_being_written(lead: Person) -> None:
    first = brought_in(lead, release=True)
    begin_draft(first, revision="B", by=lead, now=NOW)
    with pytest.raises(FileErrors, match=r"B is being written in the browser, last by .* \(begun from"):
        bring_in_procedure(NEXT_REVISION, by=lead, now=NOW, release=False, replace_draft=True)
    assert not ProcedureRevision.objects.filter(revision="B").exists()
