"""Tracing what turned out bad: an instrument since its last good check, a lot, a revision, a certificate."""

import datetime as dt

import pytest
from django.test import Client
from django.urls import reverse
from django.utils.html import strip_tags

from jobs.models import LotUse, WeldMade
from jobs.tracing import trace_instrument, trace_lot, trace_revision, trace_welder
from shop.engineering.joints.wrenches import check_tool
from shop.models import Certificate, Instrument
from tests.factories import EntryFactory
from tests.jobs.small_route import SmallRoute, assert_accepted

pytestmark = pytest.mark.django_db


@pytest.fixture
def torqued(route: SmallRoute) -> SmallRoute:
    """A car on which joints were tightened."""
    route.up_to("A20")
    return route


def wrench() -> Instrument:
    return Instrument.objects.get(code="TW-1")


def test_a_wrench_found_bad_names_every_joint_since_its_last_good_check(torqued: SmallRoute) -> None:
    found = trace_instrument(wrench(), found_bad_on=torqued.now.date())
    assert {row.job.number for row in found.touched} == {torqued.job.number}
    assert all(row.result.instrument_id == wrench().pk for row in found.touched if row.result)
    later = max(c.done_on for c in wrench().calibrations.all())
    assert found.since == later


def test_what_was_read_before_a_later_good_check_is_left_out(torqued: SmallRoute) -> None:
    day = torqued.now.date() + dt.timedelta(days=1)
    wrench().calibrations.create(done_on=day, due_on=day + dt.timedelta(days=365), way="certificate")
    assert trace_instrument(wrench(), found_bad_on=day + dt.timedelta(days=3)).touched == ()


def test_what_was_read_before_it_was_found_bad_stays_in_doubt_when_it_was_set_right(
    torqued: SmallRoute,
) -> None:
    """Found bad and set right on one day: the good check after it clears nothing that came before."""
    day = torqued.now.date()
    for passed in (False, True):
        wrench().calibrations.create(done_on=day, due_on=day, way="certificate", passed=passed)
    assert trace_instrument(wrench(), found_bad_on=day).touched


def test_a_verdict_that_rests_on_a_reading_with_a_bad_tape_is_named_too(route: SmallRoute) -> None:
    """Too close with one tape, read again with another: both readings were judged together."""
    route.up_to("C10")
    row = Instrument.objects.get(code="TP-1")
    row.pk, row.code = None, "TP-2"
    row.save()
    day = route.now.date()
    row.calibrations.create(done_on=day, due_on=day + dt.timedelta(days=9), way="certificate")
    assert_accepted(route.send("start", "C10", "fenn"))
    assert route.read("C10.1", value="29 9/16").data["verdict"] == "too_close"
    assert_accepted(route.read("C10.1", value="29 1/2", instrument="TP-2"))
    found = trace_instrument(Instrument.objects.get(code="TP-1"), found_bad_on=day)
    last = route.record.find_checkpoint("C10.1").current  # type: ignore[union-attr]
    assert last in [touched.result for touched in found.touched]


def test_its_deviation_is_taken_out_of_what_was_tightened_with_it(torqued: SmallRoute) -> None:
    """A wrench that gives a quarter less than it is set to."""
    found = trace_instrument(
        wrench(), found_bad_on=torqued.now.date(), check=check_tool(100, 75, maximum_nm=200)
    )
    anew = [row.anew for row in found.touched if row.anew]
    assert anew
    assert {each.verdict for each in anew} == {"does_not_conform"}
    good = trace_instrument(
        wrench(), found_bad_on=torqued.now.date(), check=check_tool(100, 100, maximum_nm=200)
    )
    assert {row.anew.verdict for row in good.touched if row.anew} == {"conforms"}


def test_a_lot_names_every_operation_in_which_it_was_used(torqued: SmallRoute) -> None:
    operation = torqued.record.operations[5].job_operation
    fenn = torqued.people["fenn"]
    LotUse.objects.create(
        job_operation=operation,
        what="wire",
        lot="W-77",
        person=fenn,
        used_at=torqued.now,
        entry=EntryFactory(),
    )
    assert [row.operation for row in trace_lot(" w-77 ").touched] == [operation.operation.code]
    assert trace_lot("W-78").touched == ()


def test_a_revision_names_what_was_begun_by_it(torqued: SmallRoute) -> None:
    assert {row.operation for row in trace_revision("P-9", "A").touched} == {
        o.code for o in torqued.record.operations if o.is_done
    }
    assert trace_revision("P-9", "B").touched == ()


def test_a_certificate_that_had_lapsed_names_the_welding_of_those_days(torqued: SmallRoute) -> None:
    fenn = torqued.people["fenn"]
    assert trace_welder(fenn).touched == ()
    Certificate.objects.filter(person=fenn).update(valid_until=dt.date(2000, 1, 1))
    assert trace_welder(type(fenn).objects.get(pk=fenn.pk)).touched


def test_a_first_reading_is_not_given_away_to_its_witness(client: Client, route: SmallRoute) -> None:
    route.up_to("C10")
    assert_accepted(route.send("start", "C10", "fenn"))
    assert_accepted(route.read("C10.1", value="29 17/32"))
    client.force_login(route.people["moss"])
    asked = reverse("jobs:trace"), {"instrument": "TP-1"}
    page = client.get(*asked).content.decode()
    assert "hidden until the second person" in page
    assert "17/32" not in strip_tags(page)
    assert_accepted(route.read("C10.2", "moss"))
    assert "hidden until" not in client.get(*asked).content.decode()


def test_whoever_welded_what_another_had_begun_is_named_too(torqued: SmallRoute) -> None:
    thorn, welded = torqued.people["thorn"], torqued.record.find("W30")
    made = {"settings": "19 V", "lot": "W-1", "person": thorn, "made_at": torqued.now}
    WeldMade.objects.create(
        job_operation=welded.job_operation,  # type: ignore[union-attr]
        **{"weld": "P1", "step": "weld", "entry": EntryFactory(), **made},
    )
    Certificate.objects.filter(person=thorn).update(valid_until=torqued.now.date() - dt.timedelta(days=9))
    found = trace_welder(type(thorn).objects.get(pk=thorn.pk)).touched
    assert any("weld P1" in touched.title for touched in found)


def test_the_page_says_what_is_wrong_at_its_field_and_keeps_it(client: Client, torqued: SmallRoute) -> None:
    client.force_login(torqued.people["lind"])
    address = reverse("jobs:trace")
    assert client.get(address).status_code == 200
    unknown = client.get(address, {"instrument": "TW-99"})
    assert unknown.status_code == 422
    assert "There is no instrument TW-99" in unknown.content.decode()
    both = client.get(address, {"instrument": "TW-1", "lot": "X"})
    assert "one thing at a time" in both.content.decode()
    wrong = client.get(address, {"instrument": "TW-1", "tester_set": "65 in", "tester_read": ""})
    assert "Enter a torque" in wrong.content.decode()
    page = strip_tags(
        client.get(address, {"instrument": "tw-1", "tester_set": "100", "tester_read": "75"}).content.decode()
    )
    assert "take it out of use" in page
    assert str(torqued.job.number) in page


def test_it_takes_the_same_queries_whatever_it_finds(
    client: Client, torqued: SmallRoute, django_assert_max_num_queries: object
) -> None:
    client.force_login(torqued.people["lind"])
    with django_assert_max_num_queries(12):  # type: ignore[operator]
        client.get(reverse("jobs:trace"), {"instrument": "TW-1"})
