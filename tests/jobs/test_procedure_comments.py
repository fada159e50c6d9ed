"""Comments in a draft's text outlive its fields: none is lost, each stays before what it stood before."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.procedures.comments import comments_of, with_comments_of
from jobs.procedures.draft_tree import text_of, tree_of
from jobs.procedures.file import ProcedureData
from jobs.procedures.file.export import written
from shop.file_errors import FileErrors
from tests.jobs.draft_desk import address, begun, last, put
from tests.jobs.test_procedure_round_trip import QUICK, procedures

TEXT = """\
# the shop's own
format: 1
operations:
  # as the maker's letter says
  # of the third of May
  - code: C10
    title: 'Mark # 1'  # not the second
    steps: [Scribe it, # by hand
      Read it]
    note: |
      # no comment
      a line
    # its time is measured
    minutes: 60
  # the saw is in bay 2
  - code: C20
    title: Cut
# the end
"""


def said(text: str) -> list[str]:
    return [comment.text for comment in comments_of(text)]


def before(text: str, comment: str) -> str:
    """The line that a comment stands above."""
    lines = text.splitlines()
    at = next(number for number, line in enumerate(lines) if line.strip() == comment)
    return next((line.strip() for line in lines[at + 1 :] if not line.strip().startswith("#")), "")


def rewritten(change: Any) -> str:
    tree = tree_of(TEXT)
    change(tree)
    return text_of(tree, before=TEXT)


def test_every_comment_is_found_and_what_is_none_is_not() -> None:
    assert said(TEXT) == [
        "# the shop's own",
        "# as the maker's letter says",
        "# of the third of May",
        "# not the second",
        "# by hand",
        "# its time is measured",
        "# the saw is in bay 2",
        "# the end",
    ]


def test_a_field_that_is_changed_takes_no_comment_along() -> None:
    text = rewritten(lambda tree: tree["operations"][0].update(minutes="90"))
    assert said(text) == said(TEXT)
    assert before(text, "# its time is measured") == "minutes: 90"
    assert before(text, "# of the third of May") == "- code: C10"
    assert before(text, "# not the second") == "title: 'Mark # 1'"
    assert before(text, "# the end") == ""


def test_an_operation_that_moves_takes_its_comments_along() -> None:
    text = rewritten(lambda tree: tree["operations"].reverse())
    assert sorted(said(text)) == sorted(said(TEXT))
    assert before(text, "# the saw is in bay 2") == "- code: C20"
    assert before(text, "# of the third of May") == "- code: C10"


def test_an_operation_of_another_code_keeps_its_comments() -> None:
    text = rewritten(lambda tree: tree["operations"][0].update(code="C15"))
    assert before(text, "# of the third of May") == "- code: C15"
    assert before(text, "# its time is measured") == "minutes: 60"


def test_what_is_removed_leaves_its_comments_to_what_it_lay_in() -> None:
    text = rewritten(lambda tree: tree["operations"].pop(1))
    assert sorted(said(text)) == sorted(said(TEXT))
    assert before(text, "# the saw is in bay 2") == "operations:"


@pytest.mark.parametrize("ending", ["\r\n", "\n\n"])
def test_lines_may_end_as_they_like(ending: str) -> None:
    old = "a: one\n# here\nb: two\n".replace("\n", ending)
    assert with_comments_of(old, "a: one\nb: 2\n") == "a: one\n# here\nb: 2\n"


def test_a_comment_before_a_wrapped_text_does_not_cut_it() -> None:
    words = " ".join(["word"] * 60)
    old = f"format: 1\nlist:\n  - {words}\n  # here\n  - short\n"
    new = text_of({"format": "1", "gates": [words, "short"]}, before=old)
    assert tree_of(new) == {"format": "1", "gates": [words, "short"]}
    assert said(new) == ["# here"]


@pytest.mark.django_db
def test_a_draft_s_comments_outlive_a_field_and_the_page_says_where_they_end() -> None:
    desk = begun()
    text = last().text.replace("  - code: T10", "  # by the maker's letter\n  - code: T10", 1)
    desk.post(f"{address()}text/", {"text": text, "seen": 1})
    page = put(desk, "T10", title="Take it apart").content.decode()
    assert "Take it apart" in page
    assert before(last().text, "# by the maker's letter") == "- code: T10"
    said_there = desk.get(address()).content.decode()
    assert "1 comment stands in its text; it stays with this draft" in said_there


COMMENTS = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), max_size=12).map(
    "# {}".format
)


def is_free_for(text: str, put: list[str], tree: Any) -> bool:
    """Whether a comment may stand where it was put, and is no part of a text that goes over lines."""
    try:
        return tree_of(text) == tree and sorted(said(text)) == sorted(put)
    except FileErrors:
        return False


@st.composite
def commented(draw: st.DrawFn, text: str) -> tuple[str, list[str]]:
    """A text with comments on lines of their own wherever one can stand, and those comments."""
    lines, put, tree = text.splitlines(keepends=True), [], tree_of(text)
    for at in sorted(draw(st.lists(st.integers(0, len(lines)), max_size=6)), reverse=True):
        comment = draw(COMMENTS)
        tried = [*lines[:at], f"{comment}\n", *lines[at:]]
        if is_free_for("".join(tried), [*put, comment], tree):
            lines, put = tried, [*put, comment]
    return "".join(lines), put


@QUICK
@given(data=st.data(), procedure=procedures())
def test_nothing_is_lost_whatever_is_changed(data: st.DataObject, procedure: ProcedureData) -> None:
    old, put = data.draw(commented(written(procedure)))
    tree = tree_of(old)
    if data.draw(st.booleans()):
        data.draw(st.permutations(tree["operations"]).map(lambda new: tree.update(operations=new)))
    for operation in tree["operations"]:
        operation["title"] = data.draw(st.sampled_from([operation["title"], "Another # title", "a\nb"]))
    if data.draw(st.booleans()):
        tree["operations"].pop(data.draw(st.integers(0, len(tree["operations"]) - 1)))
    new = text_of(tree, before=old)
    assert tree_of(new) == tree
    assert sorted(said(new)) == sorted(put)


@QUICK
@given(data=st.data())
def test_a_text_that_is_written_again_is_the_same(data: st.DataObject) -> None:
    old, _put = data.draw(commented(text_of(tree_of(TEXT))))
    once = text_of(tree_of(old), before=old)
    assert text_of(tree_of(once), before=once) == once
