"""Any procedure that could be written reads back as itself; any file at all is read or refused in words."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from jobs.models import Flag, Proves, Stage
from jobs.procedures.file import (
    CautionData,
    CheckpointData,
    ComeBackData,
    HandoverData,
    HoleData,
    OperationData,
    ProcedureData,
    WallData,
    read_procedure,
)
from jobs.procedures.file.export import written
from jobs.procedures.file.fields import Faults
from jobs.procedures.file.reading import SIGNALS, read_file
from jobs.procedures.yaml_text import read_yaml
from shop.file_errors import FileError, FileErrors
from shop.models import ShopSettings, Skill
from tests.jobs.procedure_texts import PROCEDURE_TEXT

QUICK = settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])

# Whatever somebody may type into one line, the signs that mean something in YAML among it.
characters = st.one_of(
    st.sampled_from("#:-?!&*%@`'\"|>[]{},=<~½±°≤…\\ \t0123456789yesnotrulNULL"),
    st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Cn", "Co")),
)


def one_line(most: int) -> st.SearchStrategy[str]:
    text = st.text(characters, min_size=1, max_size=min(most, 40))
    return text.map(lambda raw: " ".join(raw.replace("\ufeff", "").split())).filter(bool)


def lines(most: int) -> st.SearchStrategy[tuple[str, ...]]:
    return st.lists(one_line(most), min_size=1, max_size=3).map(tuple)


def maybe(some: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    return st.one_of(st.just(""), some)


limits = st.sampled_from(
    ["29 1/2 ±1/16 in", "≤ 1/8 in", "14…16 in", "65 +5 −0 lbf·ft", "749.3 ±1 mm", "1 in min"]
)
paragraphs = st.lists(one_line(40), max_size=4).map("\n".join)
layouts = st.dictionaries(
    st.text(characters, max_size=12).filter(lambda key: key != "<<"),
    st.recursive(
        st.text(st.one_of(characters, st.just("\n")), max_size=30),
        lambda inner: st.one_of(
            st.lists(inner, max_size=3),
            st.dictionaries(
                st.text(characters, max_size=8).filter(lambda key: key != "<<"), inner, max_size=3
            ),
        ),
        max_leaves=8,
    ),
    max_size=3,
)


@st.composite
def checkpoints(draw: st.DrawFn, operation: str, number: int, earlier: list[str]) -> CheckpointData:
    kind = draw(
        st.sampled_from(["dimension", "pair", "torque", "torque_angle", "weld", "count", "fit", "photo"])
    )
    common = {
        "code": f"{operation}.{number}",
        "kind": kind,
        "title": draw(one_line(200)),
        "side": draw(st.sampled_from(["", "left", "right", "both"])),
        "proves": tuple(draw(st.lists(st.sampled_from(Proves.values), unique=True, max_size=3))),
    }
    joint = {
        "instrument": "torque_wrench_click",
        "joint": draw(st.sampled_from(["suspension", "brake", "other"])),
        "lubricant": draw(one_line(80)),
        "castle_nut": draw(st.sampled_from(["", "60°", "80 lbf·ft"])),
        "prevailing": draw(st.sampled_from(["", "measured", "8 lbf·ft"])),
        "lowered_from": draw(st.sampled_from(["", "65 lbf·ft"])),
        **draw(st.sampled_from([{}, {"pattern": 5}, {"pattern": 4, "passes": ("20 N·m", "40 N·m")}])),
        "is_single_use": draw(st.booleans()),
        "at_ride_height": draw(st.booleans()),
    }
    own = {
        "dimension": {"limit": draw(limits), "instrument": "tape"},
        "pair": {"records": "in", "equal": draw(maybe(limits)), "instrument": "tape"},
        "torque": {"limit": draw(limits), **joint},
        "torque_angle": {
            "limit": draw(limits),
            "angle": "90 ±10°",
            "angle_instrument": "angle_meter",
            **joint,
        },
        "weld": {"made_in": draw(st.sampled_from([operation, *earlier])), "criteria": draw(lines(300))},
        "count": {"count": draw(st.integers(1, 9999))},
        "fit": {"go": draw(one_line(200))},
        "photo": {"shows": draw(one_line(200))},
    }
    return CheckpointData(**common, **own[kind])


holes = st.builds(
    HoleData,
    name=one_line(80),
    size=st.sampled_from(["1 1/8 in", "13 mm"]),
    count=st.one_of(st.none(), st.integers(1, 99)),
    work=st.sampled_from(["", "mild steel"]),
    tool=st.sampled_from(["", "hole_saw", "drill"]),
    walls=st.sampled_from(
        [(), (WallData("outer", "0.12 in"), WallData("inner", size="1 in", work="aluminium"))]
    ),
    held=st.booleans(),
    edge=st.sampled_from(["", "1 in"]),
)


cautions = st.builds(CautionData, st.sampled_from(SIGNALS), one_line(600))


@st.composite
def handovers(draw: st.DrawFn) -> HandoverData:
    back = (ComeBackData(draw(one_line(60)), draw(one_line(300))) for _ in range(draw(st.integers(0, 2))))
    told = (CautionData("WARNING", draw(one_line(300))) for _ in range(draw(st.integers(0, 1))))
    return HandoverData(tuple(back), tuple(told))


@st.composite
def procedures(draw: st.DrawFn) -> ProcedureData:
    operations: list[OperationData] = []
    for number in range(draw(st.integers(1, 4))):
        code = f"{draw(st.sampled_from('TCDWA'))}{number + 1}0"
        before = [o.code for o in operations]
        default = tuple(before[-1:])
        after = st.one_of(st.just(default), st.lists(st.sampled_from(before or [""]), unique=True).map(tuple))
        operations.append(
            OperationData(
                code=code,
                stage=draw(st.sampled_from(Stage.values)),
                title=draw(one_line(160)),
                minutes=draw(st.integers(1, 10_000)),
                skill=draw(st.sampled_from(Skill.values)),
                gates=tuple(draw(st.lists(st.sampled_from(Flag.values), unique=True, max_size=3))),
                after=draw(after) if before else (),
                is_hold_point=draw(st.booleans()),
                steps=draw(lines(600)),
                tools=draw(st.one_of(st.just(()), lines(160))),
                consumables=draw(st.one_of(st.just(()), lines(160))),
                cautions=tuple(draw(st.lists(cautions, max_size=2))),
                bay_features=draw(st.one_of(st.just(()), lines(160))),
                holes=tuple(draw(st.lists(holes, max_size=2))),
                checkpoints=tuple(
                    draw(checkpoints(code, n + 1, before)) for n in range(draw(st.integers(0, 3)))
                ),
            )
        )
    return ProcedureData(
        code="FC-9",
        name=draw(one_line(120)),
        revision=draw(st.sampled_from(["A", "1", "01", "1.0", "NO"])),
        kit="KIT-9",
        vehicle_family=draw(one_line(160)),
        note=draw(paragraphs),
        layout=draw(layouts),
        operations=tuple(operations),
        handover=draw(handovers()),
    )


def read(text: str) -> ProcedureData:
    faults = Faults()
    data = read_file(read_yaml(text.encode()), faults)
    assert faults.errors == []
    return data


@QUICK
@given(procedures())
def test_what_is_written_reads_back_and_is_written_the_same_again(data: ProcedureData) -> None:
    text = written(data)
    assert read(text) == data
    assert written(read(text)) == text


LINES = PROCEDURE_TEXT.split("\n")
damage = st.one_of(
    st.sampled_from(
        ["", "x", "- ", "  - a: b", "{", "]", "code: T10", "kind: witness", "limit: ", "limit: 1/0 in"]
    ),
    st.text(st.one_of(characters, st.characters(codec="utf-8")), max_size=30),
)


@QUICK
@given(st.lists(st.tuples(st.integers(0, len(LINES) - 1), st.integers(0, 8), damage), min_size=1, max_size=4))
def test_damaged_file_is_read_or_refused_in_words(changes: list[tuple[int, int, str]]) -> None:
    text = list(LINES)
    for number, indent, instead in changes:
        text[number] = " " * indent + instead
    errors = errors_of("\n".join(text))
    assert all(error.message and error.line for error in errors)


def errors_of(text: str) -> tuple[FileError, ...]:
    try:
        read_procedure(text.encode(), settings=ShopSettings())
    except FileErrors as refused:
        return refused.errors
    return ()


@QUICK
@given(st.binary(max_size=300))
def test_any_bytes_are_refused_in_words(content: bytes) -> None:
    with pytest.raises(FileErrors):
        read_procedure(content, settings=ShopSettings())
