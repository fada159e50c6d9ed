"""The steel rule: where stages, operations, hatching and pointer lie."""

import re

import pytest

from jobs.desk.rule_picture import LARGE, NARROW, SMALL, Mark, OperationMark, Size, StageMarks, draw_rule

ALL_SIZES = [SMALL, LARGE, NARROW]


def operation(code: str, mark: Mark = Mark.WAITING, *, hold_point: bool = False) -> OperationMark:
    return OperationMark(code, f"Title of {code}", mark, hold_point)


def stage(label: str, *marks: Mark) -> StageMarks:
    return StageMarks(label, [operation(f"{label}{n}", mark) for n, mark in enumerate(marks)])


WHOLE = [
    stage("Intake", Mark.DONE, Mark.DONE),
    stage("Teardown", Mark.DONE, Mark.NOT_APPLICABLE, Mark.IN_WORK, Mark.WAITING),
    stage("Cutting"),
    stage("Welding", Mark.BLOCKED, Mark.WAITING, Mark.WAITING),
]


@pytest.mark.parametrize("size", ALL_SIZES)
def test_stages_fill_the_rule_without_gap_or_overlap(size: Size) -> None:
    divisions = draw_rule(WHOLE, size=size).divisions
    assert [division.stage.label for division in divisions] == ["Intake", "Teardown", "Cutting", "Welding"]
    assert divisions[0].start == 2
    assert divisions[-1].end == pytest.approx(size.width - 2, abs=0.05)
    assert [division.end for division in divisions[:-1]] == [division.start for division in divisions[1:]]


@pytest.mark.parametrize("size", ALL_SIZES)
def test_every_name_has_room_even_in_an_empty_stage(size: Size) -> None:
    for division in draw_rule(WHOLE, size=size).divisions:
        assert division.end - division.start >= len(division.stage.label) * size.letter


def test_operations_divide_their_stage_evenly() -> None:
    teardown = draw_rule(WHOLE).divisions[1]
    assert {round(cell.width, 1) for cell in teardown.cells} == {round(teardown.cells[0].width, 1)}
    assert teardown.cells[-1].end == pytest.approx(teardown.end, abs=0.02)


def test_a_hold_point_goes_all_the_way_down() -> None:
    stages = [StageMarks("Cutting", [operation("C10"), operation("C20", hold_point=True), operation("C30")])]
    depths = [cell.tick_to for cell in draw_rule(stages).cells]
    assert depths[1] == LARGE.body_bottom
    assert max(depths[0], depths[2]) < LARGE.body_bottom


def hatched_to(path: str) -> tuple[float, float]:
    across = [float(x) for x in re.findall(r"[ML]([\d.]+) ", path)]
    return min(across), max(across)


def test_hatching_covers_what_is_done_and_half_of_what_is_in_work() -> None:
    stages = [stage("Cutting", Mark.DONE, Mark.IN_WORK, Mark.WAITING)]
    rule = draw_rule(stages)
    first, last = hatched_to(rule.hatching)
    assert first == pytest.approx(2, abs=LARGE.hatch_step)
    assert last == pytest.approx(rule.cells[1].middle, abs=LARGE.hatch_step)
    assert last <= rule.cells[1].middle + 0.1


def test_hatching_stays_within_the_body() -> None:
    heights = [float(y) for y in re.findall(r"[ML][\d.]+ ([\d.]+)", draw_rule(WHOLE).hatching)]
    assert min(heights) >= LARGE.body_top
    assert max(heights) <= LARGE.body_bottom


def test_nothing_done_is_not_hatched() -> None:
    assert draw_rule([stage("Cutting", Mark.WAITING, Mark.NOT_APPLICABLE)]).hatching == ""


@pytest.mark.parametrize(
    ("marks", "at"),
    [
        ((Mark.DONE, Mark.IN_WORK, Mark.WAITING), 1),
        ((Mark.NONCONFORMANCE, Mark.WAITING, Mark.WAITING), 0),
        ((Mark.NONCONFORMANCE, Mark.IN_WORK, Mark.WAITING), 1),
        ((Mark.DONE, Mark.BLOCKED, Mark.WAITING), 1),
        ((Mark.NOT_APPLICABLE, Mark.DONE, Mark.WAITING), 2),
    ],
)
def test_pointer_stands_where_the_work_is(marks: tuple[Mark, ...], at: int) -> None:
    rule = draw_rule([stage("Cutting", *marks)])
    assert rule.here is rule.cells[at]
    assert rule.pointer.startswith(f"M{rule.cells[at].middle:.2f} ")


def test_a_finished_job_has_no_pointer() -> None:
    rule = draw_rule([stage("Release", Mark.DONE)])
    assert rule.here is None
    assert rule.pointer == ""


def test_counts_leave_out_what_does_not_apply() -> None:
    rule = draw_rule(WHOLE)
    assert (rule.done, rule.total) == (3, 8)


def test_a_job_without_operations_is_still_a_rule() -> None:
    rule = draw_rule([stage("Intake"), stage("Release")])
    assert rule.cells == ()
    assert rule.divisions[-1].end == pytest.approx(LARGE.width - 2, abs=0.05)


def test_no_stage_at_all_draws_nothing() -> None:
    assert draw_rule([]).divisions == ()
