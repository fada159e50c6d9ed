"""What papers and pages say when a newer revision came while the car was on the floor."""

import pytest

from tests.jobs.kit_lists import BOLT, release_list
from tests.jobs.papers.conftest import Read
from tests.jobs.small_route import SmallRoute, assert_accepted
from tests.jobs.test_superseding import ARM, COUPON, LIMIT, decide, release
from tests.jobs.test_week import text_of

pytestmark = pytest.mark.django_db


def between(text: str, begin: str, end: str) -> str:
    return text[text.index(begin) : text.index(end, text.index(begin))]


def test_before_anybody_decides_the_week_says_so_and_so_does_the_draft(route: SmallRoute, read: Read) -> None:
    route.up_to("W10")
    release(route, ARM)
    waits = "Revision B has superseded A; nobody has decided about this car"
    assert waits in text_of(route)
    assert waits in read("handover")
    traveler = read("traveler")
    assert "P-9 revision A" in traveler
    assert "Revision B changes A10" in traveler
    assert "By revision" not in traveler


def test_a_newer_kit_list_is_told_as_well(route: SmallRoute, read: Read) -> None:
    release_list(route, BOLT)
    traveler = read("traveler")
    assert "Kit list B has superseded KIT-9 A" in traveler
    assert "Kit list B changes TC-BOLT for A10" in traveler


def test_changed_over_each_operation_says_by_which_revision_it_is_done(route: SmallRoute, read: Read) -> None:
    """What was done by the older one keeps it, in words, on a traveler of the newer one."""
    route.up_to("W10")
    release(route, LIMIT, ARM)
    assert_accepted(decide(route, "change_over", op_C10="accept", why_C10="The looser limit"))
    traveler = read("traveler")
    assert "P-9 revision B" in traveler
    assert traveler.count("By revision A") == len(
        [o for o in route.record.operations if o.operation.revision.revision == "A"]
    )
    assert "By revision B" not in traveler
    assert "nobody has decided" not in traveler + text_of(route)


def test_the_handover_papers_say_what_was_decided_and_why(route: SmallRoute, read: Read) -> None:
    route.up_to("W10")
    release(route, LIMIT)
    assert_accepted(decide(route, "change_over", op_C10="accept", why_C10="The looser limit"))
    papers = read("handover")
    decided = between(papers, "Deviations, operations added", "Gates set aside")
    assert "Revision A → B: change" in decided
    assert "The maker's letter (Lind" in decided
    assert "Revision A → B, C10:" in decided
    assert "The looser limit" in decided
    assert "P-9 revision B" in papers


def test_carried_on_they_keep_the_older_one_and_say_who_said_so(route: SmallRoute, read: Read) -> None:
    route.up_to("W10")
    release(route, COUPON)
    assert_accepted(decide(route, "carry_on"))
    papers = read("handover")
    assert "Revision A → B: carry on" in papers
    assert "P-9 revision A" in papers
    assert "By revision" not in read("traveler")


def test_reworked_the_operation_stands_once_more_by_its_own_name(route: SmallRoute, read: Read) -> None:
    route.up_to("W20")
    release(route, COUPON)
    assert_accepted(decide(route, "rework"))
    papers = read("handover")
    decided = between(papers, "Deviations, operations added", "Gates set aside")
    assert "Done once more, W11: Coupon" in decided or "Done once more, W11:" in decided
    assert "(W10)" in decided
    assert "W11" in read("traveler")
