"""The pages of a superseded revision: who waits, what it means for one car, the decision at a desk."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from jobs.desk.revision_page import procedure_floor_page
from jobs.models import Job, RevisionDecision
from shop.models import SignedHow
from tests.jobs.desk import PIN, Desk, another_car, give_pins
from tests.jobs.small_route import SmallRoute, assert_accepted
from tests.jobs.test_superseding import ARM, COUPON, LIMIT, release

pytestmark = pytest.mark.django_db


@pytest.fixture
def behind(route: SmallRoute) -> SmallRoute:
    """A car past the marks, and a newer revision with another limit for them and for a joint."""
    route.up_to("W10")
    another_car(route)
    release(route, LIMIT, ARM)
    give_pins(route)
    return route


def address(route: SmallRoute) -> str:
    return reverse("jobs:job_revision", args=[route.job.number])


def test_it_is_listed_wherever_somebody_looks_for_what_waits(behind: SmallRoute) -> None:
    words = "Revision B has superseded A; nobody has decided about this car"
    desk = Desk(behind, "lind")
    for page in (reverse("jobs:witness_queue"), reverse("jobs:floor")):
        said = desk.page(page)
        assert words in said
        assert address(behind) in said
    assert "waits for a decision" in desk.page(reverse("jobs:job", args=[behind.job.number]))
    assert "2 cars wait for a decision" in desk.page(reverse("jobs:procedure_floor", args=["P-9"]))


def test_the_page_says_what_was_passed_and_what_lies_ahead(behind: SmallRoute) -> None:
    said = Desk(behind, "lind").page(address(behind))
    assert "Passed: finished on this car" in said
    assert "not begun on this car" in said
    assert "looser" in said
    assert "p_op_C10" in said
    assert "second_username" in said
    assert "A lead decides" in Desk(behind, "fenn").page(address(behind))


def test_a_decision_is_made_at_a_desk_and_what_was_typed_is_kept(behind: SmallRoute) -> None:
    desk = Desk(behind, "lind")
    typed = {"to": "B", "answer": "change_over", "reason": "Maker's letter", "op_C10": "accept", "pin": PIN}
    wrong = desk.enter("revision_decision", "revision", **typed)
    assert wrong.status_code == 422
    assert "Say why C10 is good" in wrong.content.decode()
    assert "Maker&#x27;s letter" in wrong.content.decode()
    alone = desk.enter("revision_decision", "revision", **typed, why_C10="Inside the old one")
    assert alone.status_code == 302
    assert RevisionDecision.objects.get().answer == "change_over"
    said = desk.page(address(behind))
    assert "accepted as it was done: Inside the old one" in said
    job = desk.page(reverse("jobs:job", args=[behind.job.number]))
    assert "by revision A" in job
    assert "Revision A → B" in job
    traced = desk.page(reverse("jobs:trace") + f"?revision={behind.job.procedure_revision_id}")
    assert "Revision A → B" in traced


def test_carrying_on_with_an_old_joint_asks_for_the_second_at_the_desk(behind: SmallRoute) -> None:
    desk = Desk(behind, "lind")
    typed = {"to": "B", "answer": "carry_on", "reason": "Nearly done", "pin": PIN}
    assert "second qualified person" in desk.enter("revision_decision", "revision", **typed).content.decode()
    done = desk.enter("revision_decision", "revision", **typed, second_username="thorn", second_pin=PIN)
    assert done.status_code == 302


def test_no_more_queries_with_more_cars_to_decide_about(behind: SmallRoute) -> None:
    procedure = behind.job.procedure_revision.procedure
    with CaptureQueriesContext(connection) as two:
        assert len(procedure_floor_page(procedure).undecided) == 2
    Job.objects.exclude(pk=behind.job.pk).update(released_at=behind.now)
    with CaptureQueriesContext(connection) as one:
        assert len(procedure_floor_page(procedure).undecided) == 1
    assert len(two) == len(one)


def test_a_reworked_car_can_be_traced_by_the_newer_revision(route: SmallRoute) -> None:
    route.up_to("W20")
    new = release(route, COUPON)
    sent = {"to": "B", "answer": "rework", "reason": "Voids"}
    assert_accepted(route.send("revision_decision", "revision", "lind", SignedHow.PIN, **sent))
    assert_accepted(route.send("start", "W11", "fenn"))
    said = Desk(route, "lind").page(reverse("jobs:trace") + f"?revision={new.pk}")
    assert "W11" in said
