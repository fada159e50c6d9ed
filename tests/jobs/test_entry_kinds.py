"""Every kind of entry: it has words wherever it is told of, and only those in the table may make it."""

import ast
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction

from jobs.desk.history import WORDS, history_of
from jobs.desk.posting import DONE, FORM_OF_KIND
from jobs.entry_kinds import ENTRY_KINDS
from jobs.kept_records import KEPT_RECORDS
from jobs.models import BookedTime, Operation, OperationState
from jobs.recording import KINDS
from shop.models import Role, SignedHow
from tests.jobs.desk import Desk
from tests.jobs.money.till import answer, ask_extra, offered
from tests.jobs.small_route import GOOD, SmallRoute, assert_accepted
from tests.jobs.test_additions import RUST

ROOT = Path(__file__).parents[2]
BY_ROLE = {
    Role.SERVICE_WRITER: "wren",
    Role.FABRICATOR: "fenn",
    Role.LEAD: "lind",
    Role.PARTS_CLERK: "pike",
    Role.MANAGER: "ash",
}
# Of the streams of cars; what goes into the shop's own or an order's is told by other pages.
OF_A_JOB = {
    *("job", "operation", "result", "nonconformance", "deviation", "condition", "gate", "photo", "document"),
    *(
        "revision",
        "weld",
        "payment",
        "estimate",
        "extra_work",
        "found_work",
        "link",
        "authority",
        "time",
        "note",
        "lot",
        "cautions",
    ),
}
ELSEWHERE = {"operation.revision"}  # a path through rows


def test_every_kind_is_in_the_table_with_words_of_its_own() -> None:
    assert set(KINDS) == set(ENTRY_KINDS)
    words = [str(kind.words) for kind in ENTRY_KINDS.values()]
    assert all(words)
    assert len(set(words)) == len(words)


def test_every_form_says_what_it_did() -> None:
    assert set(FORM_OF_KIND) <= set(DONE)


def test_every_event_of_a_car_is_told_in_words() -> None:
    told = {name for name in _event_names() if name.partition(".")[0] in OF_A_JOB} - ELSEWHERE
    told |= {f"operation.{state}" for state in OperationState.values}
    assert told - set(WORDS) == set()


def _event_names() -> Iterator[str]:
    for path in [*(ROOT / "jobs").rglob("*.py"), *(ROOT / "shop" / "documents").rglob("*.py")]:
        if "migrations" in path.parts:
            continue
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            text = node.value if isinstance(node, ast.Constant) else None
            if isinstance(text, str) and re.fullmatch(r"[a-z_]+\.[a-z_]+", text):
                yield text


Prepare = Callable[[SmallRoute], object]


@dataclass(frozen=True)
class Try:
    """An entry that is accepted from whoever may make it, after `first` was done."""

    kind: str
    subject: str
    payload: Mapping[str, Any] = field(default_factory=dict)
    first: Prepare = lambda route: None
    of_role: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)


def begun(code: str) -> Prepare:
    return lambda route: assert_accepted(route.send("start", code, "wren" if code == "I10" else "fenn"))


def sent(kind: str, subject: str, who: str, /, how: str = SignedHow.PIN, **payload: Any) -> Prepare:
    return lambda route: assert_accepted(route.send(kind, subject, who, how, **payload))


def stopped_and_sent_back(route: SmallRoute) -> None:
    STOPPED(route)
    sent("disposition", "I10", "thorn", **DECIDED)(route)


def at_work_by_all(route: SmallRoute) -> None:
    for kind, who in (("start", "wren"), ("resume", "fenn"), ("resume", "lind")):
        assert_accepted(route.send(kind, "I10", who))


def worked_and_paused(route: SmallRoute) -> dict[str, str]:
    begun("I10")(route)
    sent("pause", "I10", "wren", reason="Telephone")(route)
    return {"booked": str(BookedTime.objects.get().pk)}


def with_cautions(route: SmallRoute) -> None:
    told = [{"signal": "WARNING", "text": "Sharp edges"}]
    Operation.objects.filter(code="I10").update(cautions=told)
    KEPT_RECORDS.clear()


def photo() -> dict[str, str]:
    name = default_storage.save("photos/test.jpg", ContentFile(b"test"))
    return {"file": name, "sha256": "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08"}


WORDS_OF = {"reason": "Looked at it", "text": "Something is wrong", "given_by": "Customer"}
MARK = {"view": "left", "place": "C2", "kind": "dent"}
STOPPED = sent("problem", "I10", "wren", text="Something is wrong")
DECIDED = {"nonconformance": "1", "disposition": "rework", "reason": "Again"}
DEVIATION = {"checkpoint": "T20.2", "limit": "≤ 1°"}
FOUND = sent("found_work", "I10", "fenn", text="Rust", about="60")
YES = {"answer": "yes", "way": "typed_name"}
BOOKED = {"began": "2026-03-02 07:30", "ended": "2026-03-02 08:00"}
AT_FIRST = (
    Try("authority", "authority", {"scope": "All", "allows_cutting": "yes", "way": "typed_name"}),
    Try("photo", "photo/1"),
    Try("condition_mark", "condition", MARK),
    Try("condition_strike", "condition", {"mark": "1"}, sent("condition_mark", "condition", "wren", **MARK)),
    Try("condition_report", "condition", {"odometer": "71000"}),
    Try("payment", "payment", {"amount": "100", "way": "cash"}),
    Try("estimate_answer", "estimate/1", {**YES, "estimate": "1"}, lambda route: offered(route)),
    Try("extra_work", "extra_work", {"price": "800"}),
    Try("extra_work_answer", "extra_work/1", {**YES, "extra_work": "1"}, ask_extra),
    Try("extra_work_withdrawn", "extra_work/1", {"extra_work": "1"}, ask_extra),
    Try("found_work", "I10", {"about": "60"}),
    Try("found_work_left", "found_work/1", {"found_work": "1"}, FOUND),
    Try("start", "I10"),
    Try("reading", "I10", {"checkpoint": "I10.1", **GOOD["I10.1"]}, begun("I10")),
    Try("cautions_seen", "I10", {}, with_cautions),
    Try("lot", "I10", {"what": "threadlocker", "lot": "TL-88"}, begun("I10")),
    Try("note", "I10"),
    Try("pause", "I10", {}, at_work_by_all),
    Try("resume", "I10", {}, begun("I10")),
    Try("hand_over", "I10", {}, begun("I10")),
    Try("time_correction", "I10", BOOKED, worked_and_paused),
    Try("problem", "I10"),
    Try("disposition", "I10", DECIDED, STOPPED),
    Try("rework_checked", "I10", {"nonconformance": "1"}, stopped_and_sent_back),
    Try("deviation", "T20", DEVIATION),
    Try(
        "deviation_withdraw",
        "T20",
        {"deviation": "1"},
        sent("deviation", "T20", "lind", **DEVIATION, text="Sits lower", reason="Repair"),
    ),
    Try("omit", "T10"),
    Try("omit_take_back", "T10", {}, sent("omit", "T10", "lind", reason="None")),
    Try("operation_add", "W10", RUST),
    Try("move", "move", {"bay": "1", "stands": "on_dolly"}),
    Try(
        "override",
        "W20",
        {"reason_code": "after:W10"},
        lambda route: route.count_kit(TC_CRADLE=0),
        {Role.MANAGER: {"reason_code": "short:TC-CRADLE"}},
    ),
)
AT_I10 = (Try("finish", "I10"),)
AT_T10 = (Try("operation_repeat", "T10", {"repeat": "I10"}),)
AT_C10 = (
    Try(
        "witness",
        "C10",
        {"checkpoint": "C10.2", **GOOD["C10.2"]},
        sent("reading", "C10", "moss", checkpoint="C10.1", **GOOD["C10.1"]),
    ),
    Try(
        "accept_close",
        "C10",
        {"checkpoint": "C10.1"},
        lambda route: route.read("C10.1", "moss", value="29 9/16"),
    ),
)
AT_A10 = (Try("loosen", "A10", {"checkpoint": "A10.3"}),)
# What takes a weld map, or a newer revision of the procedure.
NEED_MORE = ("weld_made", "revision_decision")
AT_THE_END = (Try("release", "release"),)


def along_the_route(route: SmallRoute) -> Iterator[tuple[Try, ...]]:
    """The car goes on between what is tried on it."""
    yield AT_FIRST
    route.up_to("I10")
    begun("I10")(route)
    assert_accepted(route.read("I10.1", "wren"))
    yield AT_I10
    assert_accepted(route.send("finish", "I10", "wren"))
    yield AT_T10
    route.up_to("C10")
    begun("C10")(route)
    yield AT_C10
    assert_accepted(route.read("C10.1"))
    assert_accepted(route.read("C10.2", "moss"))
    assert_accepted(route.send("finish", "C10", "fenn"))
    route.up_to("A10")
    begun("A10")(route)
    assert_accepted(route.read("A10.3"))
    yield AT_A10
    for code in ("A10.1", "A10.4"):
        assert_accepted(route.read(code))
    assert_accepted(route.send("finish", "A10", "fenn"))
    route.do("A20")
    assert_accepted(route.read("A10.2"))
    route.up_to("end")
    yield AT_THE_END


def who_got_in(route: SmallRoute, tried: Try, known: Mapping[str, Any]) -> set[str]:
    """The roles from whom the entry was accepted; each try is undone."""
    found = set()
    for role, who in BY_ROLE.items():
        with transaction.atomic():
            more = photo() if tried.kind == "photo" else {}
            payload = {**WORDS_OF, **tried.payload, **known, **tried.of_role.get(role, {}), **more}
            if route.send(tried.kind, tried.subject, who, SignedHow.PIN, **payload).accepted:
                found.add(str(role))
            transaction.set_rollback(True)
    return found


def who_is_not_turned_away(route: SmallRoute, kind: str) -> set[str]:
    """The roles that the door lets on to the handler; whether it accepts the entry its own tests say."""
    sent = ((role, route.send(kind, "L10", who, SignedHow.PIN)) for role, who in BY_ROLE.items())
    return {str(role) for role, answer in sent if "who_may" not in answer.data}


@pytest.mark.django_db
def test_every_kind_as_every_role_answers_as_the_table_says(route: SmallRoute) -> None:
    got_in = {}
    for tries in along_the_route(route):
        for tried in tries:
            with transaction.atomic():
                made = tried.first(route)
                known = made if isinstance(made, dict) else {}
                got_in[tried.kind] = who_got_in(route, tried, known)
                transaction.set_rollback(True)
            KEPT_RECORDS.clear()
    for kind in NEED_MORE:
        got_in[kind] = who_is_not_turned_away(route, kind)
    assert got_in == {kind: set(ENTRY_KINDS[kind].who) & set(BY_ROLE) for kind in KINDS}


@pytest.mark.django_db
def test_a_customers_link_answers_questions_and_nothing_else(route: SmallRoute) -> None:
    for kind in set(KINDS) - {"estimate_answer", "extra_work_answer"}:
        refused = route.send(kind, "I10", "wren", SignedHow.LINK)
        assert not refused.accepted
        assert refused.data["who_may"], kind


@pytest.mark.django_db
def test_what_was_changed_for_one_car_and_what_was_refused_is_read_in_words(route: SmallRoute) -> None:
    sent("deviation", "T20", "lind", **DEVIATION, text="Sits lower", reason="Repair")(route)
    sent("omit", "T10", "lind", reason="None")(route)
    assert not route.send("operation_add", "W10", "fenn", SignedHow.PIN, **RUST).accepted
    answer(route, offered(route).issue)
    told = [line.what for line in history_of(route.job)]
    assert "Deviation D1 was issued" in told
    assert "T10 was left out by name" in told
    assert "W10 refused: operation added" in told
    assert not [line for line in told if line.startswith("entry.")]


@pytest.mark.django_db
def test_whoever_came_second_is_told_what_the_first_did(route: SmallRoute) -> None:
    sent("deviation", "T20", "thorn", **DEVIATION, text="Sits lower", reason="Repair")(route)
    again = {"p_checkpoint": "T20.2", "p_text": "No", "p_reason": "No", "saw": ""}
    desk = Desk(route, "lind")
    late = desk.enter("problem", "T20", text="Bent", saw="")
    assert late.status_code == 409, again
    assert "recorded at 08:00: deviation" in late.content.decode()
