"""The command that brings files in, and the one that takes them out."""

from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from jobs.file_kinds import FileKind, kind_of_file
from jobs.models import ProcedureRevision
from parts.models import KitRevision, PackingSlip
from shop.models import Event, Person, Role
from shop.revisions import RevisionState
from tests.factories import KitOrderFactory, PersonFactory
from tests.jobs.procedure_texts import PROCEDURE, PROCEDURE_TEXT, changed
from tests.parts.kit_texts import KIT, SLIP

pytestmark = pytest.mark.django_db


@pytest.fixture
def manager() -> Person:
    PersonFactory(username="second", role=Role.LEAD)
    return PersonFactory(username="ada", role=Role.MANAGER)


@pytest.fixture
def files(tmp_path: Path) -> dict[str, Path]:
    contents = {
        "p.txt": PROCEDURE,
        "k.csv": KIT,
        "s.csv": SLIP,
        "bad.yaml": changed("count: 12", "count: dozen"),
    }
    for name, content in contents.items():
        (tmp_path / name).write_bytes(content)
    return {name: tmp_path / name for name in contents}


def run(*arguments: str | Path) -> tuple[str, str]:
    out, err = StringIO(), StringIO()
    try:
        call_command(*map(str, arguments), stdout=out, stderr=err)
    except CommandError as error:
        err.write(str(error))
    return out.getvalue(), err.getvalue()


@pytest.mark.parametrize(
    ("content", "kind"),
    [
        (PROCEDURE, FileKind.PROCEDURE),
        (b"\xef\xbb\xbf# remark\n\n---\nformat: 1\n", FileKind.PROCEDURE),
        (KIT, FileKind.KIT),
        (b'"part_number";"kit"\n', FileKind.KIT),
        (SLIP, FileKind.SLIP),
        (b"", None),
        (b"\xff\xfe\x00", None),
        (b"hello\n", None),
    ],
)
def test_kind_is_told_by_content(content: bytes, kind: FileKind | None) -> None:
    assert kind_of_file(content) == kind


def test_files_of_every_kind_come_in_together(manager: Person, files: dict[str, Path]) -> None:
    out, err = run("bring_in", files["p.txt"], files["k.csv"], "--release", "--released-by", "second")
    assert err == ""
    assert f"{files['p.txt']}: procedure FC-T1 A: new, released" in out
    assert f"{files['k.csv']}: kit KIT-T1 A: released" in out
    assert "not known yet" not in out
    assert ProcedureRevision.objects.get().state == RevisionState.RELEASED
    KitOrderFactory(number="K-0001", kit_revision=KitRevision.objects.get())
    out, err = run("bring_in", files["s.csv"])
    assert err == ""
    assert PackingSlip.objects.count() == 1


def test_without_release_it_is_a_draft(manager: Person, files: dict[str, Path]) -> None:
    out, _err = run("bring_in", files["p.txt"])
    assert "FC-T1 A: new, draft" in out
    assert ProcedureRevision.objects.get().state == RevisionState.DRAFT


def test_error_in_one_file_saves_nothing_of_any(manager: Person, files: dict[str, Path]) -> None:
    out, err = run("bring_in", files["k.csv"], files["bad.yaml"])
    assert out == ""
    assert f"{files['bad.yaml']}: line 73, C20.2 count: “dozen” is no whole number from 1 to 9999" in err
    assert "1 errors; nothing was saved" in err
    assert (KitRevision.objects.count(), Event.objects.count()) == (0, 0)


def test_failing_ends_with_1(manager: Person, files: dict[str, Path]) -> None:
    with pytest.raises(CommandError) as caught:
        call_command("bring_in", str(files["bad.yaml"]), stderr=StringIO())
    assert caught.value.returncode == 1


def test_file_of_no_known_kind_is_refused(manager: Person, tmp_path: Path) -> None:
    (tmp_path / "x").write_bytes(b"hello\n")
    _out, err = run("bring_in", tmp_path / "x")
    assert "line 1: is no file that this shop knows" in err


def test_file_that_is_not_there_is_one_line(manager: Person, tmp_path: Path) -> None:
    _out, err = run("bring_in", tmp_path / "gone.yaml")
    assert err == f"{tmp_path / 'gone.yaml'}: No such file or directory"


def test_draft_is_replaced_where_that_is_asked_for(manager: Person, files: dict[str, Path]) -> None:
    run("bring_in", files["p.txt"])
    files["p.txt"].write_text(PROCEDURE_TEXT.replace("minutes: 45", "minutes: 50"))
    _out, err = run("bring_in", files["p.txt"])
    assert "here as a draft with other content" in err
    out, _err = run("bring_in", files["p.txt"], "--replace-draft")
    assert "FC-T1 A: changed, draft" in out


def test_somebody_brings_it_in_by_name(manager: Person, files: dict[str, Path]) -> None:
    lead = PersonFactory(username="lin", role=Role.LEAD)
    run("bring_in", files["p.txt"], "--by", "lin")
    assert f'"by":{lead.pk}'.encode() in bytes(Event.objects.get().payload)


@pytest.mark.parametrize("by", [[], ["--by", "nobody"]])
def test_nobody_known_is_one_line(files: dict[str, Path], by: list[str]) -> None:
    _out, err = run("bring_in", files["p.txt"], *by)
    assert err.startswith(("there is no manager yet", "there is nobody"))


def test_what_is_taken_out_comes_in_again_as_the_same(manager: Person, files: dict[str, Path]) -> None:
    run("bring_in", files["p.txt"], files["k.csv"], "--release", "--released-by", "second")
    for name, what, code in (("p.txt", "procedure", "FC-T1"), ("k.csv", "kit", "KIT-T1")):
        text, _err = run("take_out", what, code, "A")
        files[name].write_bytes(text.encode())
    before = Event.objects.count()
    out, err = run("bring_in", files["p.txt"], files["k.csv"])
    assert err == ""
    assert "FC-T1 A: nothing, released" in out
    assert Event.objects.count() == before


def test_taking_out_what_is_not_there_is_one_line() -> None:
    _out, err = run("take_out", "procedure", "FC-T1", "Z")
    assert err == "there is no procedure FC-T1 Z"
