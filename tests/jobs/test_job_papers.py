"""The page of a job's papers: each kind with the form to ask for it, a report for each nonconformance."""

import pytest
from django.test import Client

from shop.models import SignedHow
from tests.jobs.small_route import SmallRoute, assert_accepted


def page(route: SmallRoute, who: str) -> str:
    client = Client()
    client.force_login(route.people[who])
    return client.get(f"/jobs/{route.job.number}/papers/").content.decode()


def test_every_paper_can_be_asked_for(route: SmallRoute) -> None:
    route.authorise()
    assert_accepted(route.send("problem", "I10", "fenn", SignedHow.TURN, text="Scratch on the door"))
    text = page(route, "wren")
    for kind in ("handover", "traveler", "torque_sheet", "dimension_sheet", "nonconformance-1"):
        assert f'id="papers-{kind}"' in text
    assert "nonconformance-2" not in text


@pytest.mark.parametrize(("who", "types"), [("lind", True), ("ash", True), ("fenn", False), ("wren", False)])
def test_who_may_type_in_is_led_there(route: SmallRoute, who: str, types: bool) -> None:
    assert (f"/jobs/{route.job.number}/papers/typed/" in page(route, who)) == types


@pytest.mark.parametrize(("who", "may"), [("wren", True), ("lind", True), ("fenn", False), ("pike", False)])
def test_who_may_have_the_whole_record_is_led_there(route: SmallRoute, who: str, may: bool) -> None:
    assert (f"/jobs/{route.job.number}/record.json" in page(route, who)) == may
