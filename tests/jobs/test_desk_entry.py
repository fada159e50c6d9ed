"""The one door for what is recorded from a desk: once, signed, and what is typed wrong comes back."""

import uuid

import pytest

from jobs.models import Override
from shop.models import Entry
from tests.jobs.desk import PIN, Desk, give_pins
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db
AUTHORITY = {
    "scope": "All of it",
    "allows_cutting": "yes",
    "given_by": "Test customer",
    "way": "signed_paper",
}


@pytest.fixture(autouse=True)
def _pins(route: SmallRoute) -> None:
    give_pins(route)


def test_an_entry_is_recorded_and_leads_back(route: SmallRoute) -> None:
    answer = Desk(route, "wren").enter("authority", "authority", next="/jobs/1001/", **AUTHORITY)
    assert answer.status_code == 302
    assert answer.headers["Location"] == "/jobs/1001/"
    assert route.record.allows_cutting


def test_with_htmx_it_answers_with_an_event(route: SmallRoute) -> None:
    answer = Desk(route, "wren").enter("authority", "authority", target="authority-authority", **AUTHORITY)
    assert answer.status_code == 204
    assert answer.headers["HX-Trigger"] == "job-changed"


def test_nobody_is_led_to_another_site(route: SmallRoute) -> None:
    answer = Desk(route, "wren").enter(
        "authority", "authority", next="https://elsewhere.invalid/", **AUTHORITY
    )
    assert answer.headers["Location"] == "/jobs/1001/"


def test_bad_input_is_told_beside_the_field_and_what_was_typed_is_kept(route: SmallRoute) -> None:
    answer = Desk(route, "wren").enter("authority", "authority", **{**AUTHORITY, "given_by": " "})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Say who allowed it" in page
    assert 'id="authority-authority-p_given_by_error"' in page
    assert "All of it</textarea>" in page
    assert "<html" in page
    assert not Entry.objects.filter(kind="authority").exists()


def test_a_key_that_no_page_has_made_is_told_beside_the_field_too(route: SmallRoute) -> None:
    answer = Desk(route, "wren").enter("authority", "authority", key="%00", **{**AUTHORITY, "given_by": " "})
    assert answer.status_code == 422
    assert "Say who allowed it" in answer.content.decode()


def test_with_htmx_only_the_form_comes_back(route: SmallRoute) -> None:
    answer = Desk(route, "wren").enter("authority", "authority", target="authority-authority", scope="x")
    assert answer.status_code == 422
    assert answer.content.decode().lstrip().startswith("<form")


def test_what_is_refused_tells_every_reason_and_what_would_clear_it(route: SmallRoute) -> None:
    route.up_to("T10")
    route.count_kit(TC_ARM=1)
    answer = Desk(route, "fenn").enter("finish", "T10")
    assert answer.status_code == 422
    assert "only what is in work can be finished" in answer.content.decode()
    route.do("T10")
    answer = Desk(route, "fenn").enter("start", "C20")
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "C10 Mark the cut is not finished" in page
    assert "Finish it first" in page
    assert "C10.1 Cut line from datum is not recorded" in page


def test_another_entry_in_between_is_a_conflict_that_tells_who_and_keeps_the_input(route: SmallRoute) -> None:
    route.up_to("I10")
    desk = Desk(route, "moss")
    saw = str(route.record.saw("I10") or "")
    route.send("start", "I10", "wren")
    answer = desk.enter("problem", "I10", saw=saw, text="Rust at the rail")
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "Wren recorded at 08:00: operation started" in page
    assert "Rust at the rail" in page
    assert f'name="saw" value="{route.record.saw("I10")}"' in page
    assert not route.record.nonconformances


def test_the_same_form_sent_twice_is_recorded_once(route: SmallRoute) -> None:
    desk, once = Desk(route, "wren"), str(uuid.uuid4())
    for _ in range(2):
        assert desk.enter("authority", "authority", entry_id=once, saw="", **AUTHORITY).status_code == 302
    assert Entry.objects.filter(kind="authority").count() == 1


def test_one_identity_with_other_content_shows_both(route: SmallRoute) -> None:
    desk, once = Desk(route, "wren"), str(uuid.uuid4())
    desk.enter("authority", "authority", entry_id=once, saw="", **AUTHORITY)
    changed = {**AUTHORITY, "scope": "Half of it"}
    answer = desk.enter("authority", "authority", entry_id=once, saw="", **changed)
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "<td>All of it</td><td>Half of it</td>" in page
    assert f'name="entry_id" value="{once}"' not in page


def test_a_broken_identity_is_told_and_recorded_nowhere(route: SmallRoute) -> None:
    answer = Desk(route, "wren").enter("authority", "authority", entry_id="no-uuid", **AUTHORITY)
    assert answer.status_code == 422
    assert "lost its identity" in answer.content.decode()
    assert not Entry.objects.filter(kind="authority").exists()


@pytest.mark.parametrize("field", ["entered_at", "saw"])
def test_what_no_form_of_ours_sends_is_no_error_of_the_program(field: str, route: SmallRoute) -> None:
    assert Desk(route, "wren").enter("authority", "authority", **{**AUTHORITY, field: "?"}).status_code == 422


@pytest.mark.parametrize(("kind", "subject"), [("nonsense", "I10"), ("witness", "I10"), ("reading", "none")])
def test_what_cannot_be_entered_at_a_desk_is_not_found(kind: str, subject: str, route: SmallRoute) -> None:
    assert Desk(route, "lind").enter(kind, subject, checkpoint="I10.1").status_code == 404


def test_nobody_signs_without_having_signed_in(route: SmallRoute) -> None:
    desk = Desk(route, "wren")
    desk.client.logout()
    answer = desk.enter("authority", "authority", **AUTHORITY)
    assert answer.status_code == 401
    assert "What you had entered is kept" in answer.content.decode()
    assert not route.record.authorities


def risk(route: SmallRoute) -> None:
    """The car may not stop rolling: an arm is missing and has no date."""
    route.authorise()
    route.count_kit(TC_ARM=1)
    route.do("I10", "wren")


def test_setting_aside_takes_the_pin(route: SmallRoute) -> None:
    risk(route)
    desk = Desk(route, "ash")
    for pin, words in [("", "Enter the PIN of Ash"), ("0000", "This is not the PIN of Ash")]:
        answer = desk.enter("override", "T10", reason_code="risk:TC-ARM", reason="It comes Friday", pin=pin)
        page = answer.content.decode()
        assert answer.status_code == 422
        assert words in page
        assert "It comes Friday</textarea>" in page
        assert 'value="0000"' not in page
    assert (
        desk.enter(
            "override", "T10", reason_code="risk:TC-ARM", reason="It comes Friday", pin=PIN
        ).status_code
        == 302
    )
    assert Override.objects.get().person == route.people["ash"]


def test_a_form_cannot_name_the_second_person_without_a_pin(route: SmallRoute) -> None:
    """On a weld the second person's own PIN is asked for; a made-up field does not stand for it."""
    route.up_to("W40")
    route.send("start", "W40", "fenn")
    route.read("W40.1", "lind", "turn", criterion_1="no")
    second = route.people["thorn"]
    wanted = {"nonconformance": "1", "disposition": "use_as_is", "reason": "Cosmetic", "pin": PIN}
    lead = Desk(route, "thorn")
    answer = lead.enter("disposition", "W40", second=str(second.pk), **wanted)
    assert answer.status_code == 422
    assert "second qualified person" in answer.content.decode()
    answer = lead.enter("disposition", "W40", second_username="ash", second_pin=PIN, **wanted)
    assert "neither a lead nor a certified inspector" in answer.content.decode()
    assert route.record.open_nonconformances


def test_a_wrong_pin_of_the_second_person_is_told_beside_theirs(route: SmallRoute) -> None:
    route.up_to("W40")
    route.send("start", "W40", "fenn")
    route.read("W40.1", "lind", "turn", criterion_1="no")
    answer = Desk(route, "thorn").enter(
        "disposition", "W40", nonconformance="1", disposition="use_as_is", reason="Cosmetic", pin=PIN,
        second_username="moss", second_pin="0000",
    )  # fmt: skip
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "This is not the PIN of Moss" in page
    assert "second_pin_error" in page
