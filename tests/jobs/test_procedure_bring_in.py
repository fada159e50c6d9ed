"""Bringing a procedure in at a desk: everything wrong at once, what was typed kept, nothing saved unseen."""

from html import unescape

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from jobs.models import Operation, ProcedureRevision
from shop.models import Role
from shop.revisions import RevisionState
from tests.jobs.procedure_desk import LOOKERS, desk_of, kept
from tests.jobs.procedure_texts import PROCEDURE, PROCEDURE_TEXT, changed

pytestmark = pytest.mark.django_db
ADDRESS = reverse("jobs:procedure_bring_in")
BAD = PROCEDURE_TEXT.replace("minutes: 45", "minutes: soon").replace("count: 12", "count: dozen")


@pytest.fixture
def desk() -> Client:
    return desk_of(Role.LEAD)


def pasted(desk: Client, text: str, **fields: str) -> HttpResponse:
    return desk.post(ADDRESS, {"text": text.replace("\n", "\r\n"), **fields})


def saved_after_check(desk: Client, text: str, ask: str, **fields: str) -> HttpResponse:
    checked = pasted(desk, text, **fields).context["page"].digest
    return pasted(desk, text, ask=ask, checked=checked, **fields)


def test_page_says_what_happens(desk: Client) -> None:
    answer = desk.get(ADDRESS)
    assert answer.status_code == 200
    assert "Nothing is saved before you say so." in answer.content.decode()


@pytest.mark.parametrize("role", LOOKERS)
@pytest.mark.parametrize("method", ["get", "post"])
def test_nobody_else_brings_in(role: str, method: str) -> None:
    assert getattr(desk_of(role), method)(ADDRESS).status_code == 403


def test_errors_stand_on_top_and_beside_their_lines(desk: Client) -> None:
    answer = pasted(desk, BAD)
    said = unescape(answer.content.decode())
    assert answer.status_code == 422
    assert '<a href="#line-15">line 15, T10 minutes: “soon” is no whole number from 1 to 10000</a>' in said
    assert '<a href="#line-73">line 73, C20.2 count: “dozen” is no whole number from 1 to 9999</a>' in said
    assert (
        '<tr id="line-15" class="source-wrong"><th scope="row">15</th><td><pre>    minutes: soon</pre>'
        in said
    )
    assert "<b>T10 minutes</b> “soon” is no whole number" in said
    assert ProcedureRevision.objects.count() == 0


def test_what_was_pasted_is_kept(desk: Client) -> None:
    answer = pasted(desk, BAD, replace_draft="on")
    assert answer.context["form"]["text"].value() == BAD
    assert answer.context["form"]["replace_draft"].value() is True


def test_file_is_read_as_its_text_is(desk: Client) -> None:
    answer = desk.post(ADDRESS, {"file": SimpleUploadedFile("x.yaml", BAD.encode())})
    assert answer.status_code == 422
    assert answer.context["form"]["text"].value() == BAD


@pytest.mark.parametrize("ask", ["", "draft", "release"])
def test_nothing_is_saved_before_it_was_seen(desk: Client, ask: str) -> None:
    answer = pasted(desk, PROCEDURE_TEXT, ask=ask)
    said = unescape(answer.content.decode())
    assert answer.status_code == 200
    assert ProcedureRevision.objects.count() == 0
    assert "5 operations, 12 checkpoints" in said
    assert "line 6, procedure kit: kit KIT-T1 is not known yet" in said
    assert "line 117, A50.1 limit: “65 +5 −0 lbf·ft”: there is no click torque wrench in calibration" in said
    assert "Level the shell and take the baseline" in said
    assert ("The text changed since it was checked" in said) == bool(ask)


def test_draft_is_saved_once_it_was_seen(desk: Client) -> None:
    answer = saved_after_check(desk, PROCEDURE_TEXT, "draft")
    assert answer.status_code == 302
    assert answer["Location"] == reverse("jobs:procedure", args=["FC-T1", "A"])
    assert ProcedureRevision.objects.get().state == RevisionState.DRAFT
    assert "FC-T1 A is saved as a draft" in desk.get(answer["Location"]).content.decode()


def test_releasing_is_asked_for_once_more(desk: Client) -> None:
    answer = saved_after_check(desk, PROCEDURE_TEXT, "release")
    assert answer["Location"] == reverse("jobs:procedure_release", args=["FC-T1", "A"])
    assert ProcedureRevision.objects.get().state == RevisionState.DRAFT


def test_text_changed_after_it_was_seen_is_seen_again(desk: Client) -> None:
    checked = pasted(desk, PROCEDURE_TEXT).context["page"].digest
    other = PROCEDURE_TEXT.replace("minutes: 45", "minutes: 50")
    answer = pasted(desk, other, ask="draft", checked=checked)
    assert answer.status_code == 200
    assert ProcedureRevision.objects.count() == 0
    assert answer.context["page"].has_changed


def test_same_content_again_is_told(desk: Client) -> None:
    kept(release=True)
    said = pasted(desk, PROCEDURE_TEXT).content.decode()
    assert "This revision is here already with the same content." in said
    assert 'value="draft"' not in said


def test_released_revision_with_other_content_is_refused(desk: Client) -> None:
    kept(release=True)
    answer = pasted(desk, changed("minutes: 45", "minutes: 50").decode())
    assert answer.status_code == 422
    assert "line 5, procedure revision: FC-T1 A is released with other content" in answer.content.decode()


def test_draft_is_replaced_where_that_is_ticked(desk: Client) -> None:
    kept()
    text = changed("minutes: 45", "minutes: 50").decode()
    assert pasted(desk, text).status_code == 422
    answer = saved_after_check(desk, text, "draft", replace_draft="on")
    assert answer.status_code == 302
    assert Operation.objects.get(code="T10").standard_minutes == 50


def test_nothing_given_is_told_beside_the_field(desk: Client) -> None:
    answer = pasted(desk, " \n ")
    assert answer.status_code == 422
    assert "Choose a file or paste the text of one" in answer.content.decode()


NO_TEXT = [
    (b"format: 1\nname: \xff\xfe\n", "line 2: is not UTF-8 text (byte 0xFF); save the file as UTF-8"),
    (b"\x89PNG\r\n\x1a\n", "line 1: is not UTF-8 text"),
]
NO_PROCEDURE = [
    (b"format: 1\n\x00\x00\n", "line 2: holds a character that no text holds (U+0000)"),
    (b"x" * 5_000_000, "a procedure file has at most 1000000"),
    (PROCEDURE.replace(b"    stage: teardown", b"\tstage: teardown"), "line 13: is indented with a tab"),
    (b"a: &a [x]\nb: [*a, *a]\n", "line 1, &a: anchors are not allowed; write it out"),
]


@pytest.mark.parametrize(("content", "said"), NO_TEXT + NO_PROCEDURE)
def test_file_that_is_no_procedure_is_told(desk: Client, content: bytes, said: str) -> None:
    answer = desk.post(ADDRESS, {"file": SimpleUploadedFile("x.yaml", content)})
    assert answer.status_code == 422
    assert said in unescape(answer.content.decode())


@pytest.mark.parametrize(("content", "said"), NO_PROCEDURE)
def test_text_that_is_no_procedure_is_told(desk: Client, content: bytes, said: str) -> None:
    answer = pasted(desk, content.decode())
    assert answer.status_code == 422
    assert said in unescape(answer.content.decode())


def test_what_people_wrote_is_shown_as_text(desk: Client) -> None:
    answer = pasted(desk, BAD.replace("minutes: soon", "minutes: <b>soon</b>"))
    assert "<b>soon</b>" not in answer.content.decode()
