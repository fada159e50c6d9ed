"""The plan's pages: drawn and as tables, decided by the manager, pinned, on paper, on the tablet."""

import datetime as dt

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from jobs.desk.plan_basis import read_week, write_week
from jobs.desk.plan_lines import gaps_of
from jobs.desk.plan_page import PlanPage
from jobs.models import Job, Pin, PlanState, StoredPlan
from jobs.papers.plan_paper import build_plan
from jobs.plans import asking, running
from jobs.plans.asking import ask_for_search
from jobs.plans.deciding import accept
from shop.documents.models import Document
from shop.documents.rendering import render_pdf
from shop.models import ShopSettings
from tests.jobs.bay import Bay
from tests.jobs.desk import Desk, another_car, give_pins
from tests.jobs.plans.one_after_another import OneAfterAnother
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db


@pytest.fixture
def planned(route: SmallRoute, monkeypatch: pytest.MonkeyPatch) -> SmallRoute:
    """A second car, and a plan for both that nobody has decided about."""
    monkeypatch.setattr(asking, "send", lambda _id: None)
    another_car(route)
    Job.objects.filter(pk=route.job.pk).update(promised_on=dt.date(2026, 3, 2))
    search(route)
    return route


def search(route: SmallRoute, *, backwards: bool = False) -> None:
    row = ask_for_search(["manager"], now=route.now)
    running.run(row.pk, clock=lambda: route.now, solver=OneAfterAnother(backwards=backwards))


def in_force(route: SmallRoute) -> None:
    accept(StoredPlan.objects.beside().get(), by=route.people["ash"], now=route.now)


def text(route: SmallRoute, path: str, who: str = "ash") -> str:
    return " ".join(Desk(route, who).page(path).split())


def test_before_there_is_a_plan_the_page_says_how_one_comes(route: SmallRoute) -> None:
    assert "There is no plan yet." in text(route, reverse("jobs:plan"))
    assert "No other plan lies beside" in text(route, "/plan/proposal/")
    assert "Nothing is planned within a week." in text(route, "/plan/days/")


def test_the_plan_is_drawn_and_stands_there_as_tables(planned: SmallRoute) -> None:
    in_force(planned)
    page = text(planned, "/plan/")
    assert "In force: accepted by Ash" in page
    assert "1 car misses its promise." in page
    assert '<svg class="plan-timeline"' in page
    assert '<svg class="plan-timeline timeline-names"' in page
    assert "planned for Wed 18 Mar" in page
    assert "4 chances in 5" in page
    assert "less than 1 chance in 10" in page
    assert "16 days late" in page
    assert "1001 T10" in page
    assert "<title>1001 " in page
    later = text(planned, "/plan/?from=2026-03-16")
    assert "1001 W30" in later
    assert "fire watch" in later
    assert "Search now" not in text(planned, "/plan/", "fenn")
    drawing = PlanPage.load(now=planned.now, view="month").drawing
    assert {"teardown", "welding"} <= set(drawing.hatches)
    assert drawing.promises
    assert drawing.standing
    assert drawing.now
    assert '<svg class="plan-timeline"' in text(planned, "/plan/?view=month&from=nonsense")


def test_a_car_is_found_without_script_and_keeps_the_days_shown(planned: SmallRoute) -> None:
    in_force(planned)
    page = text(planned, "/plan/?view=month&from=2026-03-02&car=1001")
    assert 'id="car-1001"' in page
    assert 'id="car-1002"' not in page
    assert '<input type="hidden" name="from" value="2026-03-02">' in page
    assert "is called “nobody”" in text(planned, "/plan/?car=nobody")


def test_it_takes_no_more_queries_for_more_cars(planned: SmallRoute) -> None:
    counts = []
    for _ in range(2):
        with CaptureQueriesContext(connection) as queries:
            assert PlanPage.load(now=planned.now).drawing.labels
        counts.append(len(queries))
        another_car(planned)
        search(planned)
    assert counts[0] == counts[1]


def test_standing_still_is_what_is_left_of_a_stay() -> None:
    def hour(n: int) -> dt.datetime:
        return dt.datetime(2026, 3, 2, n)  # noqa: DTZ001 - the clock of the shop

    assert list(gaps_of((hour(8), hour(16)), [(hour(10), hour(12)), (hour(9), hour(11))])) == [
        (hour(8), hour(9)),
        (hour(12), hour(16)),
    ]


def test_the_manager_accepts_by_name_or_keeps_and_others_may_not(planned: SmallRoute) -> None:
    plan = StoredPlan.objects.beside().get()
    post = {"plan": plan.pk, "decision": "accept"}
    assert "The manager accepts it" in text(planned, "/plan/proposal/", "lind")
    assert Desk(planned, "lind").post("/plan/proposal/", post).status_code == 403
    assert Desk(planned, "ash").post("/plan/proposal/", post).status_code == 302
    plan.refresh_from_db()
    assert (plan.state, plan.decided_by) == (PlanState.IN_FORCE, planned.people["ash"])
    for sent in (post, {"plan": "x", "decision": "accept"}, {"plan": plan.pk, "decision": "eat"}):
        assert Desk(planned, "ash").post("/plan/proposal/", sent).status_code == 302
    search(planned, backwards=True)
    page = text(planned, "/plan/proposal/")
    assert "What asked for it: the manager asked for it." in page
    assert "Keep the present plan" in page
    assert "the promise is missed" in page or "days late" in page
    assert page.index("Promises that are touched") < page.index("Accept it") < page.index("Work of the")
    assert "Cars that miss their promise" in page
    other = StoredPlan.objects.beside().get()
    Desk(planned, "ash").post("/plan/proposal/", {"plan": other.pk, "decision": "keep"})
    other.refresh_from_db()
    assert other.state == PlanState.KEPT_BACK


def test_pins_are_put_and_taken_away_and_what_they_lack_is_told(planned: SmallRoute) -> None:
    desk, number = Desk(planned, "ash"), planned.job.number
    wrong = desk.post("/plan/pins/", {"job": number, "kind": "person", "operation": "W30"})
    assert wrong.status_code == 422
    assert "Choose who" in wrong.content.decode()
    assert desk.post("/plan/pins/", {"job": 9999, "kind": "bay"}).status_code == 422
    good = {"job": number, "kind": "not_before", "operation": "W30", "not_before": "2026-03-09"}
    for _ in range(2):
        assert desk.post("/plan/pins/", good).status_code == 302
    assert "W30 of job 1001 not before 9 Mar 2026" in text(planned, "/plan/pins/", "lind")
    pin = Pin.objects.get()
    search(planned)
    StoredPlan.objects.beside().update(clashing_pins=[f"pin {pin.pk}"])
    assert "smallest set that clashes" in text(planned, "/plan/pins/")
    assert desk.post(f"/plan/pins/{pin.pk}/away/", {}).status_code == 302
    page = text(planned, "/plan/pins/")
    assert "Nothing is pinned." in page
    assert "smallest set" not in page


def test_days_work_and_capacity_come_from_the_plan_in_force(planned: SmallRoute) -> None:
    in_force(planned)
    days = text(planned, "/plan/days/", "fenn")
    assert "1001 T10" in days
    load = text(planned, "/plan/load/")
    assert "Structural welding" in load
    assert "No plan is in force yet" not in load
    give_pins(planned)
    tablet = Bay(planned, "fenn").get("/tablet/").content.decode()
    assert "Your next days, by the plan" in tablet


def test_holidays_features_and_shifts_are_kept_and_nonsense_is_told(route: SmallRoute) -> None:
    desk = Desk(route, "ash")
    moss = f"hours_{route.people['moss'].pk}"
    wrong = {"holiday_country": "XX", "features_welding": "crane", moss: "from noon"}
    page = desk.post("/plan/basis/", wrong)
    assert page.status_code == 422
    for words in ("Nobody knows the holidays", "No bay has “crane”", "is not written as", "from noon"):
        assert words in page.content.decode()
    good = {
        "holiday_country": "us",
        "holiday_subdivision": "il",
        moss: "mon-tue 12:00 - 16:00; sat 8:00 - 9:00",
    }
    assert desk.post("/plan/basis/", good).status_code == 302
    assert ShopSettings.current().holiday_subdivision == "IL"
    route.people["moss"].refresh_from_db()
    assert list(route.people["moss"].hours) == ["mon", "tue", "sat"]
    assert read_week(write_week(route.people["moss"].hours)) == route.people["moss"].hours


def test_the_plan_prints_as_a_paper(planned: SmallRoute) -> None:
    document = Document.objects.create(
        kind="plan", stream="plan/shop", issue=1, asked_by=planned.people["ash"], asked_at=planned.now
    )
    pdf = render_pdf(build_plan(document), size="A4", tell=lambda *_: None)
    assert pdf.startswith(b"%PDF")
