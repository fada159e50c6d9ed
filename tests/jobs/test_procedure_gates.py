"""What a procedure leaves to nobody: sparks unwatched, welds unjudged, joints past their gate."""

import pytest

from tests.jobs.procedure_texts import PROCEDURE_TEXT, changed
from tests.jobs.test_procedure_files import refused, remarks


def test_hot_work_without_a_watch_after_it_is_refused() -> None:
    (error,) = refused(changed("        proves: [fire_watch]\n", ""))
    assert "C20 gates: nobody watches after the sparks" in error


def test_a_finish_weld_that_nobody_judges_is_refused() -> None:
    errors = refused(changed("gates: [covers_welds]", "gates: [finish_weld]"))
    assert any("A50 gates: nobody judges its welds" in error for error in errors)


def test_sparks_that_wait_for_a_later_watch_are_remarked() -> None:
    watch = PROCEDURE_TEXT.index("      - code: C20.3")
    text = PROCEDURE_TEXT[:watch] + PROCEDURE_TEXT[PROCEDURE_TEXT.index("  - code: W30") :]
    text = text.replace(
        "go: Sleeve passes by hand", "go: Sleeve passes by hand\n        proves: [fire_watch]"
    )
    (remark,) = remarks(text.encode())
    assert "C20 gates: its sparks are watched in a later operation only" in str(remark)


@pytest.mark.parametrize("gate", ["onto_wheels", "driven"])
def test_a_joint_that_its_gate_does_not_ask_for_is_remarked(gate: str) -> None:
    """Tightened after the car was let go by: nothing would hold it back."""
    text = PROCEDURE_TEXT.replace("gates: [covers_welds]", f"after: [W40]\n    gates: [{gate}]")
    late = """\
  - code: A60
    stage: assembly
    title: Arms again
    minutes: 10
    skill: fabrication
    steps: [Tighten.]
    checkpoints:
      - code: A60.1
        kind: torque
        title: Arm
        limit: 65 ±6 lbf·ft
        instrument: torque_wrench_click
        joint: suspension
"""
    needs = "proves: [brakes, wheel_nuts, weld_inspection]"
    text = text.replace("proves: [weld_inspection]", needs) + late
    (remark,) = remarks(text.encode())
    assert "A60.1: is tightened after A50" in str(remark)
