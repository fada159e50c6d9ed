"""What a torque means for its bolt, and what stops the wrong lubricant before it."""

from fractions import Fraction

import pytest

from jobs.judging.bolts import Bolt, meaning_of, wrong_lubricant
from jobs.models import Checkpoint
from shop.engineering.quantities.measures import Quantity


def lbf_ft(value: int) -> Quantity:
    return Quantity(Fraction(value), "lbf·ft")


def test_a_torque_is_explained_by_the_bolt_that_the_procedure_states() -> None:
    joint = Checkpoint(thread="1/2-13", grade="8", lubricant="engine oil on threads")
    found = meaning_of(joint, lbf_ft(65))
    assert found["bolt"] == "1/2-13, 8, oiled"
    assert "The kit maker's figure is the instruction" in found["sentence"]
    low, high = found["clamp_n"]
    assert 30_000 < low < high < found["proof_n"]


def test_half_a_turn_after_it_takes_the_bolt_past_its_yield() -> None:
    joint = Checkpoint(thread="1/2-20", grade="8", grip="1 1/2 in", lubricant="oil")
    assert "used once" in meaning_of(joint, lbf_ft(20), Quantity(Fraction(180), "°"))["sentence"]


@pytest.mark.parametrize("stated", [{}, {"thread": "1/2-13"}, {"thread": "1/2-13", "grade": "8.8"}])
def test_without_a_known_bolt_nothing_is_explained(stated: dict[str, str]) -> None:
    assert Bolt.of(Checkpoint(**stated)) is None
    assert meaning_of(Checkpoint(**stated), lbf_ft(65)) == {}


def test_another_lubricant_is_stopped_and_the_same_kind_is_not() -> None:
    joint = Checkpoint(lubricant="clean and dry")
    assert "times as hard" in wrong_lubricant(joint, "anti-seize")
    assert wrong_lubricant(joint, "dry, wire-brushed") == ""
