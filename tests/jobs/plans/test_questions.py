"""Questions to the plan: asked at a desk, worked out apart, shown with what they mean."""

import datetime as dt

import pytest

from jobs.models import Job, PlanQuestion, ProcedureRevision, QuestionKind
from jobs.plans import questions
from jobs.plans.solver import ShopSolver
from shop.models import Bay
from tests.factories import ExpectationFactory
from tests.jobs.desk import Desk, another_car
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def sent(monkeypatch: pytest.MonkeyPatch) -> list[object]:
    told: list[object] = []
    monkeypatch.setattr(questions, "send", told.append)
    return told


def text(route: SmallRoute, path: str, who: str = "ash") -> str:
    return " ".join(Desk(route, who).page(path).split())


def answered(route: SmallRoute) -> PlanQuestion:
    row = PlanQuestion.objects.first()
    assert row is not None
    questions.work_out(row.pk, clock=lambda: route.now, solver=ShopSolver())
    row.refresh_from_db()
    return row


def ask_earliest(route: SmallRoute, **changed: str) -> int:
    revision = ProcedureRevision.objects.get()
    return (
        Desk(route, "wren")
        .post("/plan/earliest/", {"procedure": str(revision.pk), "lead_days": "7", **changed})
        .status_code
    )


def test_a_new_car_gets_a_date_after_its_kit_and_what_would_bring_it_forward(route: SmallRoute) -> None:
    route.count_kit()
    assert "Nothing was asked yet." in text(route, "/plan/earliest/", "wren")
    assert ask_earliest(route, lead_days="28") == 302
    assert "It is being worked out" in text(route, "/plan/earliest/", "wren")
    row = answered(route)
    assert row.failure == ""
    usual, *tried = row.answer
    assert (
        dt.date.fromisoformat(usual["safe"]) >= dt.date.fromisoformat(usual["likely"]) > dt.date(2026, 3, 30)
    )
    gained = {one["what"]: one["gained"] for one in tried}
    assert gained["the kit a week earlier"] >= 5
    assert gained["a second shift, four hours in the evening"] >= 0
    page = text(route, "/plan/earliest/", "wren")
    assert "4 chances in 5" in page
    assert "The kit a week earlier" in page
    assert "A date is promised by a person, not by this page." in page
    assert "Nothing was asked yet." in text(route, "/plan/earliest/"), "another one's question is theirs"


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("lead_days", "-3", "A kit cannot come in the past"),
        ("lead_days", "next week", "Enter whole days, such as 28"),
        ("lead_days", "9999", "more than two years"),
        ("procedure", "", "Choose the procedure"),
    ],
)
def test_what_makes_no_sense_is_told_beside_the_field(
    route: SmallRoute, field: str, value: str, words: str
) -> None:
    revision = ProcedureRevision.objects.get()
    sent = {"procedure": str(revision.pk), "lead_days": "7", field: value}
    answer = Desk(route, "wren").post("/plan/earliest/", sent)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert words in page
    assert value in page
    assert not PlanQuestion.objects.exists()


def short_of_the_cradle(route: SmallRoute, eta: dt.date) -> None:
    route.count_kit(TC_CRADLE=0)
    line = route.job.kit_order.kit_revision.lines.get(part_number="TC-CRADLE")
    ExpectationFactory(order=route.job.kit_order, kit_line=line, eta=eta, entry__stream="elsewhere")


def test_a_car_with_a_short_kit_is_weighed_against_waiting(route: SmallRoute) -> None:
    route.authorise()
    short_of_the_cradle(route, dt.date(2026, 3, 20))
    Job.objects.filter(pk=route.job.pk).update(bay=None)
    another_car(route)
    assert "Start or wait?" in text(route, f"/jobs/{route.job.number}/")
    path = f"/plan/start/{route.job.number}/"
    assert "Nobody has asked yet." in text(route, path)
    assert Desk(route, "ash").post(path, {}).status_code == 302
    row = answered(route)
    assert row.failure == ""
    ways = {one["way"]: one for one in row.answer}
    assert {"start", "wait"} <= set(ways)
    assert ways["start"]["expected"] > 3
    assert all(sum(one["days"]) == 2000 for one in row.answer)
    page = text(route, path)
    assert "days without work in the bay" in page
    assert '<svg class="start-picture"' in page
    assert "Start now" in page


def test_where_there_is_nothing_to_weigh_it_says_so(route: SmallRoute) -> None:
    route.up_to("T20")
    path = f"/plan/start/{route.job.number}/"
    Desk(route, "ash").post(path, {})
    assert "waits for no part" in answered(route).failure
    assert "waits for no part" in text(route, path)


def test_a_new_car_whom_nobody_can_serve_is_told(route: SmallRoute) -> None:
    Bay.objects.update(is_open=False)
    ask_earliest(route)
    assert "It cannot be planned" in answered(route).failure
    assert "It cannot be planned" in text(route, "/plan/earliest/", "wren")


def test_what_lies_about_is_sent_again_given_up_and_thrown_away(
    route: SmallRoute, sent: list[object]
) -> None:
    ask_earliest(route)
    row = PlanQuestion.objects.get()
    later = row.asked_at
    questions.look_after(now=later + dt.timedelta(seconds=5))
    before = len(sent)
    questions.look_after(now=later + dt.timedelta(seconds=25))
    assert sent[before:] == [row.pk]
    PlanQuestion.objects.update(attempt=3, lease_until=later)
    questions.look_after(now=later + dt.timedelta(seconds=200))
    row.refresh_from_db()
    assert "ask again" in row.failure
    questions.look_after(now=later + dt.timedelta(days=40))
    assert not PlanQuestion.objects.filter(kind=QuestionKind.EARLIEST).exists()
