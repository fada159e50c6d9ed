"""Two revisions compared: nothing of itself, all of the other; limits in figures, tighter or looser."""

from dataclasses import replace

import pytest
from hypothesis import given

from jobs.procedures.difference_words import difference_words
from jobs.procedures.differences import ChangeKind, applied, differences, moved
from jobs.procedures.file import ProcedureData, read_procedure
from jobs.procedures.limit_change import LimitChange, limit_change
from shop.engineering.limits import parse_limits
from shop.models import ShopSettings
from tests.jobs.procedure_texts import PROCEDURE_TEXT
from tests.jobs.test_procedure_round_trip import QUICK, procedures

SETTINGS = ShopSettings()


def data(text: str = PROCEDURE_TEXT) -> ProcedureData:
    return read_procedure(text.encode(), settings=SETTINGS)[0]


@QUICK
@given(procedures())
def test_a_revision_compared_with_itself_is_empty(one: ProcedureData) -> None:
    found = differences(one, one)
    assert found.is_empty
    assert applied(found, one) == one


@QUICK
@given(procedures(), procedures())
def test_the_differences_put_onto_the_old_give_the_new(old: ProcedureData, new: ProcedureData) -> None:
    assert applied(differences(old, new), old) == new


def test_what_moved_is_as_little_as_explains_the_new_order() -> None:
    assert moved("abcde", "abcde") == frozenset()
    assert moved("abcde", "eabcd") == {"e"}
    assert moved("abcd", "axbd") == frozenset()


@pytest.mark.parametrize(
    ("old", "new", "became"),
    [
        ("29 1/2 ±1/8 in", "29 1/2 ±1/16 in", LimitChange.TIGHTER),
        ("29 1/2 ±1/16 in", "29 1/2 ±1/8 in", LimitChange.LOOSER),
        ("29 1/2 ±1/16 in", "29 5/8 ±1/16 in", LimitChange.MOVED),
        ("1 ±1/8 in", "25.4 ±3.175 mm", LimitChange.SAME),
        ("≤ 1/8 in", "≤ 1/16 in", LimitChange.TIGHTER),
        ("≤ 1/8 in", "≥ 1/8 in", LimitChange.MOVED),
        ("≤ 1/8 in", "65 ±5 lbf·ft", LimitChange.OTHER),
    ],
)
def test_a_limit_is_tighter_looser_or_moved(old: str, new: str, became: LimitChange) -> None:
    """From memory: plain inclusion of the intervals; 1 in = 25.4 mm exactly (SP 811)."""
    assert limit_change(parse_limits(old), parse_limits(new)) is became


def test_in_words_with_figures_and_line_by_line() -> None:
    text = PROCEDURE_TEXT.replace("29 1/2 ±1/16 in", "29 1/2 ±1/8 in").replace(
        "      - Set the shell on stands at the stated points.\n",
        "      - Set the shell on stands at the stated points.\n      - Brace the door openings.\n",
    )
    found = difference_words(differences(data(), data(text)), settings=SETTINGS)
    (operation,) = found.operations
    assert (operation.code, operation.kind_words) == ("T10", "changed")
    assert [str(field) for field in operation.fields] == ["steps: + Brace the door openings."]
    (checkpoint,) = operation.inside
    assert [str(field) for field in checkpoint.fields] == ["limit: 29 1/2 ±1/16 in → 29 1/2 ±1/8 in (looser)"]


def test_added_removed_and_moved_are_told_apart() -> None:
    old = data()
    first, *rest = old.operations
    added = replace(first, code="T99", checkpoints=())
    new = replace(old, operations=(*rest, added))
    kinds = {change.code: change.kind for change in differences(old, new).operations}
    assert kinds == {first.code: ChangeKind.REMOVED, "T99": ChangeKind.ADDED}
    turned = replace(old, operations=(*rest, first))
    assert {c.kind for c in differences(old, turned).operations} == {ChangeKind.MOVED}


def test_a_part_that_nobody_named_is_compared_too() -> None:
    old, new = replace(data(), layout={"web": "3 in"}), replace(data(), layout={"web": "4 in"})
    (field,) = difference_words(differences(old, new), settings=SETTINGS).fields
    assert str(field) == "Web: 3 in → 4 in"
