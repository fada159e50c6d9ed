"""What was decided about a car's parts when a newer kit list came stands on the handover papers."""

from django.urls import reverse

from parts.models import KitAnswer
from tests.jobs.desk import Desk
from tests.jobs.kit_lists import BOLT, CRADLE, decide_list, release_list
from tests.jobs.papers.conftest import Read
from tests.jobs.papers.test_superseded_revision import between
from tests.jobs.small_route import SmallRoute, assert_accepted


def test_each_decision_says_what_why_and_who(route: SmallRoute, read: Read) -> None:
    route.up_to("W30")
    release_list(route, CRADLE)
    assert_accepted(decide_list(route, KitAnswer.REWORK))
    release_list(route, BOLT, name="C")
    assert_accepted(decide_list(route, KitAnswer.CARRY_ON, to="C", reason="Bolts are on hand"))
    decided = between(read("handover"), "Deviations, operations added", "Gates set aside")
    assert "Kit list KIT-9 A → B: change over, and what is fitted" in decided
    assert "(W20 → W21)" in decided
    assert "The maker's letter (Lind" in decided
    assert "Kit list KIT-9 B → C: carry on with what was ordered Bolts are on hand (Lind" in decided
    assert "Thorn" in decided
    assert "Done once more, W21: Tack the cradle, once more (W20)" in decided
    assert "W21" in read("traveler")


def test_the_release_says_that_it_will_and_the_order_what_is_done_again(
    route: SmallRoute,
) -> None:
    route.up_to("W30")
    release_list(route, CRADLE)
    assert_accepted(decide_list(route, KitAnswer.REWORK))
    lead = Desk(route, "lind")
    assert "Kit list KIT-9 A → B" in lead.page(reverse("jobs:job_release", args=[route.job.number]))
    assert "done once more as W21" in lead.page(reverse("parts:order_revision", args=["K-9"]))
