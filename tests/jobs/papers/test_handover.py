"""The handover papers: a certificate once the car is released, a draft before, everything that was proved."""

import io

import pdfplumber
from django.db import connection
from django.test.utils import CaptureQueriesContext

from jobs.models import ConditionMark, ConditionReport, ProcedureRevision
from shop.documents.currency import has_moved_on
from shop.documents.rendering import render_pdf
from shop.keeping import keep
from shop.models import Entry, ShopSettings, SignedHow
from tests.jobs.papers.conftest import Made, Read
from tests.jobs.small_route import SmallRoute, assert_accepted


def upright(page: pdfplumber.page.Page) -> str:
    """The words of a page without what lies across it."""
    return page.filter(lambda thing: thing.get("upright", True)).extract_text()


def to_the_end(route: SmallRoute) -> None:
    """A car with a nonconformance that was reworked and an arm that was loosened again, released."""
    route.up_to("A10")
    assert_accepted(route.send("start", "A10", "fenn"))
    assert_accepted(route.read("A10.3", "fenn", SignedHow.TURN, value="80"))
    decided = {"nonconformance": "1", "disposition": "rework", "reason": "New bracket bolts"}
    assert_accepted(route.send("disposition", "A10", "lind", SignedHow.PIN, **decided))
    for code in ("A10.1", "A10.3", "A10.4"):
        assert_accepted(route.read(code))
    assert_accepted(route.send("finish", "A10", "fenn", SignedHow.PIN))
    route.do("A20")
    assert_accepted(route.read("A10.2"))
    route.do("L10")
    assert_accepted(route.send("release", "release", "lind", SignedHow.PIN))


def test_a_released_car_has_a_certificate_with_all_that_was_proved(route: SmallRoute, read: Read) -> None:
    ProcedureRevision.objects.filter(pk=route.job.procedure_revision_id).update(
        handover={"come_back": [{"after": "50 miles", "what": "Wheel nuts, cold"}]}
    )
    to_the_end(route)
    words = read("handover")
    for told in (
        "Certificate of the work",
        "Lind released the car 2 Mar 2026",
        "50 miles Wheel nuts, cold",
        "Test customer, signed paper",
        "Torque record",
        "A10.1 Lower arm, left dry; new hardware 65 ±10 % lbf·ft",
        "1 earlier result holds no more",
        "1 at A10 A10.3 Caliper bracket",
        "Rework: New bracket bolts (Lind) Closed",
        "None: the released procedure was followed as written.",
        "W40.1 No crack; No undercut",
        "witnessed at C10",
        "judged the welds W40.1",
        "decided about nonconformances at A10; released the car",
        "structural welding fenn-structural welding, valid",
        "TW-1 Click wrench",
        "W50.1 Primed seam",
    ):
        assert told in words, told
    assert "DRAFT" not in words
    assert "against the release" not in words


def test_a_car_that_is_not_released_says_draft_and_what_is_open(route: SmallRoute, read: Read) -> None:
    route.up_to("T10")
    words = read("handover")
    assert "not released: DRAFT" in words
    assert "Not a certificate yet" in words
    assert "1 of 13 operations are done" in words
    assert "Operation T10 Take the front suspension off is not finished" in words
    assert "Certificate of the work" not in words


def test_a_first_reading_stays_hidden_until_its_witness(route: SmallRoute, read: Read) -> None:
    route.up_to("C10")
    assert_accepted(route.send("start", "C10", "fenn"))
    assert_accepted(route.read("C10.1", "fenn", SignedHow.TURN, value="29 17/32"))
    words = read("handover")
    assert "hidden until the second person has read it" in words
    assert "17/32" not in words
    assert "17 / 32" not in words


def test_the_car_as_it_came_in_is_on_it(route: SmallRoute, read: Read) -> None:
    route.authorise()
    entry = Entry.objects.get()
    common = {"job": route.job, "person": route.people["wren"], "seen_at": route.now, "entry": entry}
    ConditionReport.objects.create(odometer="81 204 mi", left_front="27 1/8 in", **common)
    place = {"view": "left", "x_permille": 100, "y_permille": 300, "kind": "dent"}
    ConditionMark.objects.create(number=1, note="Door, old", **place, **common)
    words = read("handover")
    assert "1 left side: dent, Door, old" in words
    assert "81 204 mi" in words


def test_it_is_drawn_whole_and_tells_when_the_record_has_changed(route: SmallRoute, made: Made) -> None:
    route.up_to("T10")
    document, paper = made("handover")
    pdf = render_pdf(paper, size="Letter", tell=lambda *_said: None)
    with pdfplumber.open(io.BytesIO(pdf)) as drawn:
        pages = [" ".join(upright(page).split()) for page in drawn.pages]
    assert all(f"page {n} of {len(pages)}" in text for n, text in enumerate(pages, start=1))
    assert all(f"record {document.record_sequence}-{document.record_hash[:12]}" in text for text in pages)
    assert document.record_hash[-12:] in pages[-1]
    assert not has_moved_on(document)
    assert_accepted(route.send("start", "T10", "fenn"))
    assert has_moved_on(document)


def test_reading_the_record_takes_no_more_queries_for_more_results(route: SmallRoute, made: Made) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as captured:
            made("handover")
        return len(captured)

    route.up_to("T20")
    few = queries()
    route.up_to("W20")
    assert queries() <= few + 1


def test_what_was_set_aside_stands_on_them_with_who_and_why(route: SmallRoute, read: Read) -> None:
    aside = {"reason_code": "open:I10.1", "reason": "Rails are new"}
    assert_accepted(route.send("override", "C20", "lind", SignedHow.PIN, **aside))
    papers = read("handover")
    told = papers[papers.index("Gates set aside") :]
    assert "C20: I10.1 Rail to rail is not recorded Rails are new (Lind" in told


def test_what_was_judged_by_another_rule_and_default_is_not_certified_by_todays(
    route: SmallRoute, read: Read
) -> None:
    """Rule and default tolerance change after a reading: the papers keep to what was judged."""
    deviation = {"checkpoint": "C20.2", "limit": "29 1/2 in", "text": "As cut", "reason": "Drawn so"}
    simple = ShopSettings.current()
    simple.decision_rule, simple.length_tolerance = "simple acceptance", "±1/16 in"
    keep(simple, changed=(), added=False, by=route.people["ash"], now=route.now)
    route.up_to("C20")
    assert_accepted(route.send("deviation", "C20", "lind", SignedHow.PIN, **deviation))
    assert_accepted(route.send("start", "C20", "fenn"))
    assert_accepted(route.read("C20.1"))
    assert_accepted(route.read("C20.2", value="29 9/16"))
    simple.decision_rule, simple.length_tolerance = "ISO 14253-1, 95 %", "±1/32 in"
    keep(simple, changed=(), added=False, by=route.people["ash"], now=route.now)
    words = read("handover")
    assert "the rule it was judged by: simple acceptance." in words
    assert "the uncertainty of the instrument is not taken off" in words
    assert "29 7 / 16 in to 29 9 / 16 in (the shop's default tolerance)" in words
    assert "15 / 32" not in words


def test_what_was_done_once_more_says_where_that_stands_which_counts(route: SmallRoute, read: Read) -> None:
    route.up_to("W50")
    assert "Done once more" not in read("handover")
    again = {"reason": "The seam was ground out"}
    for code in ("W30", "W40"):
        assert_accepted(route.send("operation_repeat", "W50", "lind", SignedHow.PIN, repeat=code, **again))
    for paper in ("handover", "traveler"):
        told = read(paper)
        assert told.count("Done once more: what counts stands at W31") == len(
            route.record.find("W30").checkpoints
        )  # type: ignore[union-attr]
        assert "Done once more: what counts stands at W41" in told
