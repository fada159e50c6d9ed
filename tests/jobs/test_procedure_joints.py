"""Joints and holes in a procedure file: what they may say, and what is told about it."""

import pytest

from jobs.procedures.file import read_procedure
from shop.file_errors import FileErrors
from shop.models import ShopSettings

FILE = """
format: 1
procedure: {{code: P-1, name: Test, revision: A, kit: K-1, vehicle_family: Test cars}}
operations:
  - code: A10
    stage: assembly
    title: Tighten
    minutes: 10
    skill: fabrication
    steps: [Tighten]
    {operation}
    checkpoints:
      - {{code: A10.1, kind: torque, title: Nut, limit: 45 ±10 % lbf·ft, instrument: torque_wrench_click,
         joint: other, {joint}}}
"""


def remarks(joint: str = "lubricant: oil", operation: str = "tools: [Wrench]") -> list[str]:
    text = FILE.format(joint=joint, operation=operation).encode()
    return [str(remark) for remark in read_procedure(text, settings=ShopSettings())[1]]


def refused(**parts: str) -> str:
    with pytest.raises(FileErrors) as errors:
        remarks(**parts)
    return " ".join(map(str, errors.value.errors))


def test_a_derate_and_a_lubricant_factor_together_are_warned_about() -> None:
    """45 of 65 dry is seven tenths, as a chart says for oil; 29 of 65 is that twice over."""
    assert remarks("lubricant: oil, lowered_from: 65 lbf·ft") == []
    (warning,) = remarks("lubricant: oil, lowered_from: 100 lbf·ft")
    assert "both applied" in warning
    (dry,) = remarks('lubricant: "clean and dry", lowered_from: 65 lbf·ft')
    assert "is dry" in dry


def test_passes_rise_to_the_figure() -> None:
    assert remarks("pattern: 5, passes: [20 lbf·ft, 45 lbf·ft]") == []
    assert len(remarks("pattern: 5, passes: [45 lbf·ft, 20 lbf·ft]")) == 1


@pytest.mark.parametrize(
    ("joint", "said"),
    [
        ("castle_nut: 1 in", "how far it may be turned on"),
        ("castle_nut: 0°", "how far it may be turned on"),
        ("prevailing: 8 in", "is “measured”, or a torque"),
        ("lowered_from: 65 lbf·ft", "says nothing without “lubricant”"),
        ("passes: [20 lbf·ft]", "says nothing without “pattern”"),
        ("pattern: 1", "no whole number from 2"),
        ('thread: M12x1.75, grade: "8"', "A10.1 grade"),
        ('thread: 1/2-7, grade: "8"', "Meant: 1/2-13, 1/2-20?"),
    ],
)
def test_what_cannot_be_tightened_is_refused_with_what_to_write(joint: str, said: str) -> None:
    assert said in refused(joint=joint)


@pytest.mark.parametrize(
    ("hole", "said"),
    [
        ("{name: Hole, size: 3 lb}", "is a length"),
        ("{name: Hole, size: 0 in}", "is a length"),
        ("{name: Hole, size: 1 in, work: cheese}", "is none of: mild steel"),
        ("{name: Hole, size: 1 in, takes: sleeve}", "says nothing without “takes_size”"),
        ("{name: Hole, size: 1 in, measured: A10.9}", "there is no checkpoint"),
        ("{name: Hole, size: 1 in, measured: A10.1}", "A10.1 measures nothing"),
        ("{name: Hole, size: 1 in, walls: [{name: a}, {name: a}]}", "names “a” twice"),
    ],
)
def test_what_cannot_be_drilled_is_refused_with_what_to_write(hole: str, said: str) -> None:
    assert said in refused(operation=f"holes: [{hole}]")
