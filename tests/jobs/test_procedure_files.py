"""Reading a procedure file whole: what it says, and every kind of error with its line and name."""

import pytest

from jobs.procedures.file import ProcedureData, Remark, read_procedure
from jobs.procedures.file.export import written
from jobs.procedures.file.fields import MOST_FAULTS
from shop.file_errors import FileErrors
from shop.models import ShopSettings
from tests.jobs.procedure_texts import PROCEDURE, PROCEDURE_TEXT, changed, line_of


def read(content: bytes) -> ProcedureData:
    return read_procedure(content, settings=ShopSettings())[0]


def remarks(content: bytes) -> list[Remark]:
    return list(read_procedure(content, settings=ShopSettings())[1])


def refused(content: bytes) -> list[str]:
    with pytest.raises(FileErrors) as caught:
        read(content)
    return [str(error) for error in caught.value.errors]


def test_good_file_is_read_whole() -> None:
    data = read(PROCEDURE)
    assert (data.code, data.revision, data.kit) == ("FC-T1", "A", "KIT-T1")
    assert data.layout == {"datums": ["A", "B: behind the firewall"]}
    assert [o.code for o in data.operations] == ["T10", "C20", "W30", "W40", "A50"]
    assert [o.after for o in data.operations] == [(), ("T10",), ("T10", "C20"), ("W30",), ("W40",)]
    cut = data.operations[1]
    assert cut.is_hold_point
    assert cut.gates == ("stops_rolling", "cuts_structure", "hot_work")
    arm = data.operations[-1].checkpoints[0]
    assert (arm.limit, arm.joint, arm.is_single_use, arm.at_ride_height) == (
        "65 +5 −0 lbf·ft",
        "suspension",
        True,
        True,
    )


def test_good_file_needs_no_remark() -> None:
    assert remarks(PROCEDURE) == []


def test_canonical_file_reads_back_as_the_same_and_stays() -> None:
    data = read(PROCEDURE)
    again = written(data)
    assert read(again.encode()) == data
    assert written(read(again.encode())) == again


@pytest.mark.parametrize(
    ("old", "new", "piece", "error"),
    [
        ("format: 1", "format: 2", "format: 2", "format: “2” is none of: 1"),
        (
            "  name: Test clip",
            "  nme: Test clip",
            "nme:",
            "procedure nme: is no word of a procedure file here; did",
        ),
        ("  name: Test clip", "  nme: Test clip", "code: FC-T1", "procedure name: is missing"),
        (
            "code: FC-T1",
            "code: FC T1",
            "FC T1",
            "procedure code: “FC T1” is no such code; write it like FC-210",
        ),
        (
            "minutes: 45",
            "minutes: 45 min",
            "45 min",
            "T10 minutes: “45 min” is no whole number from 1 to 10000",
        ),
        ("minutes: 45", "minutes: ½", "½", "T10 minutes: “½” is no whole number"),
        ("minutes: 45", "minutes: ٣", "٣", "T10 minutes: “٣” is no whole number"),
        (
            "stage: teardown",
            "stage: tear down",
            "tear down",
            "T10 stage: “tear down” is none of: intake, teardown",
        ),
        ("skill: layout", "skill: lay-out", "lay-out", "T10 skill: “lay-out” is none of"),
        ("code: T10\n", "code: 10T\n", "10T", "operation 1 code: “10T” is no such code; write it like T40"),
        ("code: T10.1", "code: C20.7", "C20.7", "checkpoint 1 of T10 code: “C20.7” is no such code"),
        ("kind: count", "kind: counted", "counted", "C20.2 kind: “counted” is none of"),
        ("kind: count", "kind: counted", "counted", "did you mean “count”?"),
        ("count: 12", "count: 0", "count: 0", "C20.2 count: “0” is no whole number from 1 to 9999"),
        (
            "count: 12",
            "limit: 12 in",
            "limit: 12 in",
            "C20.2 limit: does not belong to a checkpoint of kind count",
        ),
        ("        count: 12\n", "", "C20.2", "C20.2 count: is missing; a checkpoint of kind count needs it"),
        ("        count: 12\n", "        count:\n", "count:\n", "C20.2 count: says nothing"),
        ("hold_point: yes", "hold_point: true", "true", "C20 hold_point: “true” is none of: yes, no"),
        ("after: [T10, C20]", "after: [T10, A50]", "[T10, A50]", "W30 after: A50 does not come before it"),
        ("after: [T10, C20]", "after: [W30]", "[W30]", "W30 after: W30 does not come before it"),
        (
            "after: [T10, C20]",
            "after: [T11]",
            "[T11]",
            "W30 after: there is no operation “T11”; did you mean “T10”?",
        ),
        ("after: [T10, C20]", "after: T10", "after: T10", "W30 after: must be a list"),
        ("made_in: W30", "made_in: A50", "A50", "W40.1 made_in: A50 does not come before it"),
        ("of: T10.2", "of: T10.9", "T10.9", "T10.4 of: there is no checkpoint “T10.9”; did you mean “T10."),
        ("of: T10.2", "of: T10.5", "of: T10.5", "T10.4 of: T10.5 does not come before it"),
        ("of: T10.2", "of: C20.2", "of: C20.2", "T10.4 of: C20.2 does not come before it"),
        ("limit: 29 1/2 ±1/16 in", "limit: 29 1/2 ±1/16", "29 1/2 ±1/16", "T10.1 limit: "),
        ("limit: 29 1/2 ±1/16 in", "limit: about a foot", "about", "T10.1 limit: "),
        (
            "limit: 29 1/2 ±1/16 in",
            "limit: 65 ±5 lbf·ft",
            "instrument: tape",
            "T10.1 instrument: a tape does not measure a torq",
        ),
        ("limit: 40 ±4 lbf·ft", "limit: 40 ±4 in", "40 ±4 in", "A50.2 limit: “40 ±4 in” is no torque"),
        ("angle: 90 ±10°", "angle: 90 ±10 in", "90 ±10 in", "A50.2 angle: “90 ±10 in” is no angle"),
        (
            "equal: ≤ 1/8 in",
            "equal: 1/8 ±1/16 in",
            "1/8 ±1/16",
            "T10.2 equal: “1/8 ±1/16 in” limits a difference",
        ),
        ("equal: ≤ 1/8 in", "equal: ≤ 1°", "equal: ≤ 1°", "T10.2 equal: “≤ 1°” is no length"),
        ("agree: ≤ 1/16 in", "agree: ≤ 1 lbf·ft", "≤ 1 lbf", "T10.4 agree: “≤ 1 lbf·ft” is no length"),
        ("records: in", "records: furlongs", "furlongs", "T10.5 records: “furlongs” is no unit"),
        (
            "        records: in\n",
            "",
            "T10.5",
            "T10.5: a checkpoint of kind dimension needs one of: limit or records",
        ),
        (
            "        records: in\n",
            "        records: in\n        limit: 2 in max\n",
            "2 in max",
            "only one of these may",
        ),
        ("instrument: tape", "instrument: ruler", "ruler", "T10.1 instrument: “ruler” is none of"),
        (
            "        instrument: angle_gauge\n",
            "",
            "T10.3",
            "T10.3 instrument: is missing; say what it is measured with",
        ),
        ("joint: suspension", "joint: arm", "joint: arm", "A50.1 joint: “arm” is none of"),
        (
            "hardware: single use",
            "hardware: new",
            "hardware: new",
            "A50.1 hardware: “new” is none of: single use",
        ),
        ("signal: WARNING", "signal: Warning", "Warning", "T10 caution 1 signal: “Warning” is none of"),
        ("proves: [level]", "proves: [levl]", "levl", "T10.3 proves: “levl” is none of"),
        ("proves: [level]", "proves: [level, level]", "level, level", "T10.3 proves: names “level” twice"),
        (
            "proves: [permit]",
            "proves: [permit, marks_witness]",
            "[permit,",
            "C20.1 proves: only a checkpoint of kind wit",
        ),
        ("title: Cut the rails", f"title: {'x' * 161}", "xxx", "C20 title: is longer than 160 characters"),
        ("tools: [Tape, Angle gauge]", "tools: [[Tape]]", "[[Tape]]", "T10 tools: holds a list or a table"),
        ("    steps: [Cut outside the line., Dress the edges.]\n", "", "code: C20", "C20 steps: is missing"),
        (
            "steps: [Cut outside the line., Dress the edges.]",
            "steps: []",
            "steps: []",
            "C20 steps: must name at least one",
        ),
        (
            "operations:",
            "operation:",
            "operation:",
            "operation: is no word of a procedure file here; did you mean",
        ),
    ],
)
def test_error_says_line_and_name(old: str, new: str, piece: str, error: str) -> None:
    content = changed(old, new)
    line = line_of(piece.rstrip("\n"), content)
    found = refused(content)
    assert any(message.startswith(f"line {line}") and error in message for message in found), found


def test_code_that_stands_twice_names_both_lines() -> None:
    content = changed("code: T10.2", "code: T10.1").replace(b"of: T10.2", b"of: T10.1")
    first = line_of("code: T10.1", content)
    second = line_of("title: Firewall to axle", content) - 2
    assert refused(content) == [f"line {second}, T10.1: stands twice; first on line {first}"]


def test_every_error_is_told_at_once_in_the_order_of_the_file() -> None:
    text = PROCEDURE_TEXT.replace("minutes: 45", "minutes: soon").replace("count: 12", "count: dozen")
    errors = refused(text.replace("angle: 90 ±10°", "angle: a quarter").encode())
    assert [error.split(":")[0].split(", ")[1] for error in errors] == [
        "T10 minutes",
        "C20.2 count",
        "A50.2 angle",
    ]


@pytest.mark.parametrize("word", ["baseline, datum", "marks", "level", "marks_witness"])
def test_cut_with_nothing_proved_before_it_is_refused(word: str) -> None:
    content = changed(f"        proves: [{word}]\n", "")
    errors = refused(content)
    line = line_of("cuts_structure", content)
    assert len(errors) == len(word.split(", "))
    for error, need in zip(errors, word.split(", "), strict=True):
        assert error.startswith(f"line {line}, C20 gates: nothing before it proves {need} (")
        assert error.endswith("which cuts_structure asks for")


def test_hot_work_needs_its_permit_inside() -> None:
    content = changed("        proves: [permit]\n", "")
    (error,) = refused(content)
    assert error.startswith(
        f"line {line_of('hot_work', content)}, C20 gates: nothing in this operation proves permit"
    )


def test_permit_comes_before_the_work() -> None:
    moved = PROCEDURE_TEXT.replace("        proves: [permit]\n", "")
    moved = moved.replace("        count: 12\n", "        count: 12\n        proves: [permit]\n")
    (error,) = refused(moved.encode())
    assert "C20.2: a permit check comes before the work; put it above C20.1" in error


@pytest.mark.parametrize(
    ("gate", "needs"),
    [
        ("finish_weld", ["coupon", "trial_fit", "tack_position"]),
        ("on_welded_structure", ["remeasure"]),
        ("driven", ["brakes", "wheel_nuts"]),
    ],
)
def test_gate_that_could_never_open_is_refused(gate: str, needs: list[str]) -> None:
    errors = refused(changed("gates: [covers_welds]", f"gates: [{gate}]"))
    errors = [error for error in errors if "nobody judges" not in error]
    assert [error.split("proves ")[1].split(" ")[0] for error in errors] == needs


def test_proof_after_the_gate_does_not_count() -> None:
    text = PROCEDURE_TEXT.replace(
        "    skill: inspection\n", "    skill: inspection\n    gates: [covers_welds]\n"
    )
    (error,) = refused(text.encode())
    assert "W40 gates: nothing before it proves weld_inspection" in error


def test_nominal_alone_takes_the_shops_default_and_says_so() -> None:
    (remark,) = remarks(changed("limit: 29 1/2 ±1/16 in", "limit: 29 1/2 in"))
    assert str(remark).startswith(
        f"line {line_of('limit: 29 1/2')}, T10.1 limit: “29 1/2 in” gives no tolerance"
    )
    assert "29 7/16 in to 29 9/16 in" in remark.message


def test_stage_out_of_order_is_remarked() -> None:
    (remark,) = remarks(changed("stage: assembly", "stage: drilling"))
    assert "A50 stage: belongs to Drilling but comes after W40 of Welding" in str(remark)


def test_text_is_kept_on_one_line_and_the_note_on_its_own() -> None:
    note = "  note: |\n    First.\n\n    Second.   \n"
    content = changed("  note: Invented for the tests.\n", note)
    content = content.replace(b"title: Cut the rails", b"title: >\n      Cut   the\n      rails")
    data = read(content)
    assert data.note == "First.\n\nSecond."
    assert data.operations[1].title == "Cut the rails"


def test_layout_must_be_a_table() -> None:
    content = changed('  datums: [A, "B: behind the firewall"]', "  - A")
    (error,) = refused(content)
    assert error == f"line {line_of('layout')}, layout: must hold keys of its own, each on a line"


@pytest.mark.parametrize(
    "text", ["format: 1\n", "format: 1\nprocedure:\noperations:\n", "{}", "format: [1]\n"]
)
def test_file_with_nothing_in_it_is_refused(text: str) -> None:
    assert refused(text.encode())


def test_file_with_very_many_errors_ends_there() -> None:
    keys = "".join(f"key{number}: x\n" for number in range(60_000))
    errors = refused(PROCEDURE + keys.encode())
    assert len(errors) == MOST_FAULTS + 1
    assert errors[-1] == f"there may be more; put these {MOST_FAULTS} right first"
