"""Everything of one job on one page."""

import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.models import Role
from shop.verification import verify_record
from tests.factories import PersonFactory
from tests.jobs.bay import Bay
from tests.jobs.desk import PIN, Desk, give_pins
from tests.jobs.small_route import SmallRoute, assert_accepted

pytestmark = pytest.mark.django_db
WHERE = "/jobs/1001/"


def text_of(route: SmallRoute, who: str = "wren") -> str:
    return " ".join(Desk(route, who).page(WHERE).split())


def everything_done(route: SmallRoute) -> None:
    """The whole route; the pivot is tightened at ride height, before the road test."""
    route.up_to("L10")
    assert_accepted(route.read("A10.2"))
    route.up_to("")


def stopped_by_a_missing_arm(route: SmallRoute) -> None:
    route.authorise()
    route.count_kit(TC_ARM=1)
    route.do("I10", "wren")


def test_the_title_says_which_car(route: SmallRoute) -> None:
    assert "<title>1966 Test car, job 1001" in text_of(route)


@pytest.mark.parametrize(
    ("up_to", "words"),
    [
        ("I10", "in bay 1 Test bay, on its wheels, before Intake: I10 Book the car in comes next."),
        ("T20", "in bay 1 Test bay, on stands, before Teardown: T20 Level and datums comes next."),
    ],
)
def test_it_answers_where_the_car_is(up_to: str, words: str, route: SmallRoute) -> None:
    route.up_to(up_to)
    assert words in text_of(route)


def test_a_car_on_which_all_is_done_waits_to_be_released(route: SmallRoute) -> None:
    everything_done(route)
    assert "all work is done and it waits to be released." in text_of(route)


def test_an_operation_in_work_is_said_to_be(route: SmallRoute) -> None:
    route.send("start", "I10", "wren")
    assert "in Intake: I10 Book the car in is in work." in text_of(route)


def test_a_reason_says_what_would_clear_it_and_leads_there(route: SmallRoute) -> None:
    route.count_kit()
    route.do("I10", "wren")
    page = text_of(route)
    assert "Before T10 Take the front suspension off can go on" in page
    assert '<a href="/jobs/1001/#authority">The service writer records the authority' in page
    assert "Nobody may set this aside." in page


def test_whoever_may_set_it_aside_gets_the_form_and_the_others_are_told_who(route: SmallRoute) -> None:
    stopped_by_a_missing_arm(route)
    assert "Set it aside in my name" in text_of(route, "ash")
    page = text_of(route, "lind")
    assert "Set it aside in my name" not in page
    assert "by: Manager." in page


def test_a_shortage_is_told_with_operation_need_and_expectation(route: SmallRoute) -> None:
    stopped_by_a_missing_arm(route)
    page = text_of(route)
    assert "1 part is short." in page
    assert "1 of 2" in page
    assert "no date" in page
    assert 'href="/jobs/1001/A10/"' in page


def test_what_was_set_aside_is_shown_plainly(route: SmallRoute) -> None:
    give_pins(route)
    stopped_by_a_missing_arm(route)
    Desk(route, "ash").enter("override", "T10", reason_code="risk:TC-ARM", reason="It comes Friday", pin=PIN)
    page = text_of(route)
    assert "It comes Friday" in page
    assert "TC-ARM Lower arm missing" in page
    assert "Ash," in page


def test_the_authority_is_recorded_here_without_script(route: SmallRoute) -> None:
    page = text_of(route)
    assert "None is recorded." in page
    assert 'action="/jobs/1001/entries/"' in page
    Desk(route, "wren").enter(
        "authority",
        "authority",
        scope="All",
        allows_cutting="yes",
        given_by="Test customer",
        way="typed_name",
    )
    assert "Test customer, typed name at the desk" in text_of(route)


def test_the_car_is_moved_by_a_lead_or_the_manager(route: SmallRoute) -> None:
    assert "move-move" not in text_of(route, "wren")
    assert "move-move" in text_of(route, "lind")
    assert Desk(route, "lind").enter("move", "move", bay="", stands="on_dolly").status_code == 302
    assert "not in a bay, on a dolly" in text_of(route)


def test_a_bay_that_is_taken_is_told_and_the_choice_kept(route: SmallRoute) -> None:
    from tests.jobs.desk import another_car

    number = another_car(route)
    answer = Desk(route, "ash").post(
        f"/jobs/{number}/entries/",
        {"entry_id": "11111111-1111-4111-8111-111111111111", "saw": "", "kind": "move", "subject": "move",
         "p_bay": "1", "p_stands": "on_wheels"},
    )  # fmt: skip
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Job 1001 stands in bay 1 Test bay" in page
    assert '<option value="1" selected>' in page


def test_it_says_how_much_stands_against_the_release(route: SmallRoute) -> None:
    page = text_of(route, "lind")
    assert re.search(r"Not yet: \d+ things are open", page)
    assert "/jobs/1001/release/" in page


def test_a_lead_releases_with_the_pin_and_the_record_closes(route: SmallRoute) -> None:
    give_pins(route)
    everything_done(route)
    lead = Desk(route, "lind")
    assert lead.enter("release", "release", pin="").status_code == 422
    assert lead.enter("release", "release", pin=PIN).status_code == 302
    page = lead.page(WHERE)
    assert "The record is closed." in page
    assert "<form" not in page.split('id="record"')[0].split('id="papers"')[0].split('id="identity"')[1]
    assert verify_record().is_whole


def test_the_record_is_told_in_words(route: SmallRoute) -> None:
    route.up_to("T10")
    page = text_of(route)
    assert "The job was opened on P-9 A with kit K-9" in page
    assert "I10.1 was read: conforms" in page
    assert "I10 is finished" in page
    assert "result.recorded" not in page


def test_every_kind_of_event_on_the_whole_route_has_words(route: SmallRoute) -> None:
    from jobs.desk.history import WORDS, history_of

    route.up_to("A20")
    route.send("loosen", "A10", "fenn", checkpoint="A10.1", reason="Shim added")
    told = {line.what for line in history_of(route.job, most=1000)}
    assert not {what for what in told if "." in what.split(" ")[0] and what in WORDS}
    assert "A10.1 is open again: joint loosened" in told


def test_a_job_that_is_not_there_is_not_found(route: SmallRoute) -> None:
    assert Desk(route, "wren").get("/jobs/9999/").status_code == 404


def test_htmx_gets_the_part_with_the_message_of_what_was_recorded(route: SmallRoute) -> None:
    desk = Desk(route, "wren")
    desk.enter(
        "authority", "authority", target="authority-authority", scope="All", allows_cutting="yes",
        given_by="Test customer", way="typed_name",
    )  # fmt: skip
    part = desk.get(WHERE, target="job").content.decode()
    assert part.lstrip().startswith('<div id="job"')
    assert 'hx-swap-oob="true"' in part
    assert "The authority to work is recorded" in part


def test_queries_do_not_grow_with_what_is_recorded(route: SmallRoute) -> None:
    desk = Desk(route, "lind")
    route.up_to("C10")
    route.send("start", "C10", "fenn")
    route.send("problem", "C10", "fenn", text="First")
    desk.get(WHERE)
    with CaptureQueriesContext(connection) as few:
        desk.get(WHERE)
    route.read("C10.1", "fenn", "turn", value="31")
    route.send("problem", "C10", "moss", text="Second")
    PersonFactory.create_batch(3, role=Role.LEAD)
    desk.get(WHERE)
    with CaptureQueriesContext(connection) as many:
        desk.get(WHERE)
    # A nonconformance of a safety joint draws up the list of people once more; this one does not.
    assert len(many) == len(few)


def test_wherever_a_missing_part_holds_the_car_starting_is_weighed_against_waiting(route: SmallRoute) -> None:
    stopped_by_a_missing_arm(route)
    link = '<a href="/plan/start/1001/">Start or wait?</a>'
    give_pins(route)
    kit, gate = text_of(route).count(link), Desk(route, "ash").page("/jobs/1001/T10/").count(link)
    assert (kit, gate) == (2, 1)
    assert link not in Desk(route, "fenn").page("/jobs/1001/T10/")
    tablet = Bay(route).page("T10")
    assert "Whether to start or to wait is weighed in the office" in tablet
