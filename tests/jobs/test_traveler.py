"""The traveler: everything that a fabricator needs with the car, and nothing about the customer."""

import io
from collections.abc import Callable
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pdfplumber
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from jobs.models import Checkpoint, Operation
from jobs.papers.about_job import subject
from shop.documents import kinds
from shop.documents.asking import ask
from shop.documents.making import read_record
from shop.documents.models import Document
from shop.documents.rendering import render_pdf
from shop.models import ShopSettings, StreamHead, Tool
from tests.jobs.sheets import PDF, page_with, row, text_of
from tests.jobs.small_route import SmallRoute, assert_accepted

Draw = Callable[..., PDF]
UNTOUCHED: list[PDF] = []


@pytest.fixture(autouse=True)
def own_media(settings: Any, tmp_path: Path) -> None:
    settings.MEDIA_ROOT = tmp_path


def asked(route: SmallRoute, size: str) -> Document:
    """The next issue, not drawn yet."""
    return ask("traveler", route.job.stream, by=route.people["wren"], now=route.now, options={"paper": size})


@pytest.fixture
def draw(route: SmallRoute, monkeypatch: pytest.MonkeyPatch) -> Draw:
    """The traveler of the car on the short route, as it stands now."""
    monkeypatch.setattr("shop.documents.asking.current_app.send_task", lambda *_a, **_o: None)

    def drawn(size: str = "A4") -> PDF:
        document = asked(route, size)
        with timezone.override(ZoneInfo(ShopSettings.current().zone)):
            pdf = render_pdf(read_record(document), size=size, tell=lambda *_said: None)
        return pdfplumber.open(io.BytesIO(pdf))

    return drawn


@pytest.fixture
def untouched(draw: Draw) -> PDF:
    """The traveler before anything was recorded; drawn once, since all of these look at the same one."""
    if not UNTOUCHED:
        UNTOUCHED.append(draw())
    return UNTOUCHED[0]


def test_every_operation_and_checkpoint_of_the_procedure_is_on_it(untouched: PDF) -> None:
    text = text_of(untouched)
    for operation in Operation.objects.all():
        assert f"{operation.code} {operation.title}" in text
        assert all(step in text for step in operation.steps)
    codes = list(Checkpoint.objects.values_list("code", flat=True))
    assert len(codes) > 20
    assert [code for code in codes if code not in text] == []


def test_the_front_says_which_car_which_kit_and_which_procedure(untouched: PDF, route: SmallRoute) -> None:
    front = untouched.pages[0].extract_text()
    for words in (
        str(route.job.number),
        "1966 Test car",
        "K-9",
        "KIT-9 revision A",
        "P-9 revision A",
        "1 Test bay",
        "0 of 13 operations done.",
        "In hand: I10 Book the car in.",
    ):
        assert words in front


def test_it_says_whose_instructions_come_first(untouched: PDF) -> None:
    assert "The kit maker's instructions and local law come first." in text_of(untouched)


def test_the_customer_is_not_on_it(draw: Draw, route: SmallRoute) -> None:
    assert_accepted(route.authorise())
    text = text_of(draw())
    assert "Cutting allowed. All of it (signed paper" in text
    assert "Test customer" not in text


def test_without_authority_it_says_so(untouched: PDF) -> None:
    assert "None yet. Nothing irreversible before it." in text_of(untouched)


def test_limits_stand_in_both_units_with_true_fractions(untouched: PDF) -> None:
    pdf = untouched
    assert row(pdf, "C10.1")[1] == "29 1/2 ±1/16 in 747.8 mm to 750.8 mm"
    assert row(pdf, "W20.2")[1] == (
        "14 ±1/8 in 352.5 mm to 358.7 mm left and right equal ≤ 1/8 in at most 3.1 mm"
    )
    assert row(pdf, "A10.1")[1] == "65 ±10 % lbf·ft 79.4 N·m to 96.9 N·m"
    assert row(pdf, "A10.4")[1] == "20 ±10 % lbf·ft 24.5 N·m to 29.8 N·m then turn 180 ±10°"


def test_a_joint_says_what_is_asked_of_it(untouched: PDF) -> None:
    pdf = untouched
    assert "Lubricant or threadlocker: dry. Single-use hardware: fit new." in row(pdf, "A10.1")[0]
    assert "Tighten at ride height only." in row(pdf, "A10.2")[0]


def test_there_are_boxes_for_what_has_to_be_written(untouched: PDF) -> None:
    pdf = untouched
    assert row(pdf, "W20.2")[2:] == ["left in right in", "Tape", ""]
    assert row(pdf, "A10.4")[2:] == [
        "set to lbf·ft clicked turned °",
        "Click torque wrench, Tightening- angle meter",
        "",
    ]
    assert row(pdf, "W40.1")[2:] == ["No crack No undercut", "", ""]
    assert row(pdf, "W30.2")[1:3] == ["12 pieces", "pieces"]


def test_gates_stand_at_their_operation_in_words(untouched: PDF) -> None:
    pdf = untouched
    assert "Cuts structure. Before it: authority to cut; baseline dimensions; datums; level" in page_with(
        pdf, "C20 Cut the rails"
    )
    assert "Hot work. First: hot-work permit; fire watch afterwards" in page_with(pdf, "W20 Tack the cradle")
    assert "HOLD POINT" in page_with(pdf, "W40 Inspect and measure when cool")


def test_what_was_recorded_stands_in_its_box(draw: Draw, route: SmallRoute) -> None:
    route.up_to("T10")
    pdf = draw()
    assert row(pdf, "I10.1")[2:] == ["31 in Recorded", "TP-1", "Wren 2 Mar 08:00"]
    assert "Finished 2 Mar 2026 08:00" in page_with(pdf, "I10 Book the car in")
    assert "1 of 13 operations done." in pdf.pages[0].extract_text()


def test_a_result_that_does_not_conform_and_its_nonconformance_stand_out(
    draw: Draw, route: SmallRoute
) -> None:
    route.up_to("T20")
    route.send("start", "T20", "fenn")
    route.read("T20.1", go="no")
    pdf = draw()
    assert "Nonconformance 1 open at T20:" in pdf.pages[0].extract_text()
    assert row(pdf, "T20.1")[2] == "does not pass Does not conform"


def test_the_first_reading_is_hidden_from_the_second_person(draw: Draw, route: SmallRoute) -> None:
    route.up_to("C10")
    route.send("start", "C10", "fenn")
    assert_accepted(route.read("C10.1", value="29 17/32"))
    pdf = draw()
    assert row(pdf, "C10.1")[2] == "Read; hidden until the second person has read it"
    assert "29 17/32" not in text_of(pdf)
    assert_accepted(route.read("C10.2", "moss"))
    assert row(draw(), "C10.1")[2].startswith("29 17/32 in")


def test_a_loosened_joint_is_open_again_and_says_why(draw: Draw, route: SmallRoute) -> None:
    route.up_to("A10")
    route.send("start", "A10", "fenn")
    assert_accepted(route.read("A10.3"))
    assert row(draw(), "A10.3")[2] == "35 lbf·ft Conforms"
    assert_accepted(route.send("loosen", "A10", "fenn", checkpoint="A10.3", reason="line rerouted"))
    what, _limit, reading, *_rest = row(draw(), "A10.3")
    assert "Opened again: joint loosened (line rerouted)" in what
    assert reading == "set to lbf·ft clicked"


def test_an_operation_that_is_over_keeps_its_results_and_not_its_steps(
    draw: Draw, untouched: PDF, route: SmallRoute
) -> None:
    assert "Measure the car as it came" in text_of(untouched)
    route.up_to("T10")
    pdf = draw()
    assert "Measure the car as it came" not in text_of(pdf)
    assert row(pdf, "I10.1")[1] == "Recorded, no limit"


def test_a_shortage_is_on_the_front(draw: Draw, route: SmallRoute) -> None:
    route.count_kit(TC_ARM=1)
    assert "Short: 1 of TC-ARM Lower arm, first needed at A10, no date yet" in " ".join(
        draw().pages[0].extract_text().split()
    )


def test_what_can_kill_is_on_the_front_and_again_at_its_operation(draw: Draw, route: SmallRoute) -> None:
    cautions = {
        "T10": [{"signal": "DANGER", "text": "Nobody under a car on a jack."}],
        "C20": [
            {"signal": "CAUTION", "text": "Fresh rail ends are sharp."},
            {"signal": "WARNING", "text": "Grinding sparks are hot work."},
        ],
        "W20": [{"signal": "WARNING", "text": "Grinding sparks are hot work."}],
    }
    for code, said in cautions.items():
        Operation.objects.filter(code=code).update(cautions=said)
    pdf = draw()
    front = " ".join(" ".join(page.extract_text().split()) for page in pdf.pages[:2])
    assert "DANGER T10 Nobody under a car on a jack." in front
    assert "WARNING C20, W20 Grinding sparks are hot work." in front
    assert "CAUTION at C20" in front
    assert front.index("DANGER") < front.index("WARNING") < front.index("CAUTION")
    assert "CAUTION Fresh rail ends are sharp." in page_with(pdf, "C20 Cut the rails")
    assert "WARNING Grinding sparks are hot work." in page_with(pdf, "W20 Tack the cradle")


def test_every_operation_leads_to_its_page(untouched: PDF, route: SmallRoute, settings: Any) -> None:
    links = {link["uri"] for page in untouched.pages for link in page.annots if link.get("uri")}
    codes = Operation.objects.values_list("code", flat=True)
    assert links == {f"{settings.SITE_ADDRESS}/q/{route.job.number}/{code}/" for code in codes}


def test_every_page_says_which_issue_of_what_and_how_many(draw: Draw, route: SmallRoute) -> None:
    asked(route, "A4")
    pdf = draw("Letter")
    end = StreamHead.objects.get(stream=route.job.stream)
    for number, page in enumerate(pdf.pages, start=1):
        text = page.extract_text()
        assert f"page {number} of {len(pdf.pages)}" in text
        mark = f"Job {route.job.number} · issue 2 · P-9 revision A · record {end.sequence}-{end.hash[:12]}"
        assert mark in text
        assert page.width == pytest.approx(612)


def test_the_front_names_the_page_of_each_operation(untouched: PDF) -> None:
    pdf = untouched
    pages = [" ".join(p.extract_text().split()) for p in pdf.pages]
    at = next(n for n, text in enumerate(pages, start=1) if n > 1 and "A10 Hang the suspension" in text)
    assert f"A10 Hang the suspension 2 h {at}" in pages[0]


def test_it_is_read_in_as_many_queries_however_much_was_recorded(draw: Draw, route: SmallRoute) -> None:
    def queries() -> int:
        document = ask("traveler", route.job.stream, by=route.people["wren"], now=route.now, options={})
        with CaptureQueriesContext(connection) as captured:
            read_record(document)
        return len(captured)

    before = queries()
    route.up_to("C10")
    assert queries() == before


def test_drawing_asks_the_database_nothing(
    draw: Draw, route: SmallRoute, django_assert_num_queries: Any
) -> None:
    route.up_to("C10")
    document = ask("traveler", route.job.stream, by=route.people["wren"], now=route.now, options={})
    paper = read_record(document)
    with django_assert_num_queries(0):
        render_pdf(paper, size="A4", tell=lambda *_said: None)


def test_there_is_a_traveler_for_each_job_and_nothing_else(route: SmallRoute) -> None:
    kind = kinds.find("traveler")
    assert kind is not None
    found = kind.subject(route.job.stream)
    assert found is not None
    assert (found.label, found.url) == ("Job 1001", "/jobs/1001/")
    wrong = ["job/0", "job/", "job/x", f"order/{route.job.number}", "shop", f"job/{'9' * 40}", "job/١٢"]
    assert [stream for stream in wrong if subject(stream)] == []


def test_holes_are_on_the_card_with_steps_tools_speeds_and_what_they_rest_on(
    route: SmallRoute, draw: Draw
) -> None:
    Tool.objects.create(code="DR-1", kind="drill", size="1/4", material="cobalt")
    Tool.objects.create(code="HS-2", kind="hole_saw", size="1 1/8 in")
    Tool.objects.create(code="DP-1", name="Press", kind="machine", speeds="180, 270, 420")
    hole = {"name": "Sleeve holes", "size": "1 1/8 in", "count": 8, "takes": "sleeve",
            "takes_size": "1 1/16 in", "edge": "2 in",
            "walls": [{"name": "outer", "thickness": "0.12 in"}]}  # fmt: skip
    Operation.objects.filter(revision=route.job.procedure_revision, code="C20").update(holes=[hole])
    words = page_with(draw(), "Sleeve holes")
    for said in ("28.6 mm", "DR-1, cobalt steel", "HS-2", "DP-1 Press: Set 270", "outer, 0.12 in, mild steel",
                 "floats by", "1.78 diameters", "Machinery's Handbook", "ASME Y14.5"):  # fmt: skip
        assert said in words, said
