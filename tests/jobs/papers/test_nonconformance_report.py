"""The report of one nonconformance, and that there is one for each and for no other."""

from shop.documents import kinds
from shop.models import SignedHow
from tests.jobs.papers.conftest import Read
from tests.jobs.small_route import SmallRoute, assert_accepted


def stopped(route: SmallRoute) -> None:
    route.up_to("A10")
    assert_accepted(route.send("start", "A10", "fenn"))
    assert_accepted(route.read("A10.3", "fenn", SignedHow.TURN, value="80"))


def test_it_says_what_was_found_by_which_numbers_and_leaves_room_to_decide(
    route: SmallRoute, read: Read
) -> None:
    stopped(route)
    words = read("nonconformance-1")
    for told in (
        "Nonconformance 1: open",
        "A10.3 Caliper bracket",
        "35 ±10 % lbf·ft",
        "80 lbf·ft Does not conform TW-1 Fenn",
        "Uncertainty U, k = 2",
        "Nobody has decided yet.",
        "scrap and reorder",
    ):
        assert told in words, told


def test_it_says_what_was_decided_and_what_came_of_it(route: SmallRoute, read: Read) -> None:
    stopped(route)
    decided = {"nonconformance": "1", "disposition": "rework", "reason": "Back off and tighten again"}
    assert_accepted(route.send("disposition", "A10", "lind", SignedHow.PIN, **decided))
    assert_accepted(route.read("A10.3"))
    words = read("nonconformance-1")
    assert "Nonconformance 1: closed" in words
    assert "Rework Back off and tighten again Lind" in words
    assert "35 lbf·ft Conforms TW-1 Fenn" in words
    assert "Nobody has decided" not in words


def test_there_is_one_for_each_and_for_no_other(route: SmallRoute) -> None:
    stopped(route)
    stream = route.job.stream
    assert kinds.title_of("nonconformance-1") == "Nonconformance 1"
    found = kinds.subject_of("nonconformance-1", stream)
    assert found is not None
    assert found.label == f"Job {route.job.number}"
    for name in ("nonconformance-2", "nonconformance", "nonconformance-01", "traveler-1"):
        assert kinds.subject_of(name, stream) is None
    assert kinds.subject_of("nonconformance-1", "job/9") is None
    assert kinds.subject_of("nonconformance-1", "order/K-9") is None
