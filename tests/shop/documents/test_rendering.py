"""Drawing: only what the paper may show, tagged, true to scale, the same bytes twice."""

import io
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pdfplumber
import pytest

from shop.documents.kinds import Paper, PaperError
from shop.documents.rendering import BASE, render_pdf, resource_path

PIXEL = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010806000000"
    "1f15c4890000000d49444154789c6360606060000000050001a5f645400000000049454e44ae426082"
)


@pytest.fixture
def page(slip: None, settings: Any, tmp_path: Path) -> Callable[..., Paper]:
    """A paper with whatever its body is to hold."""
    (tmp_path / "tried.html").write_text(
        '<html lang="en" class="{{ sheet }}"><head><title>Tried</title>'
        '<link rel="stylesheet" href="/static/css/print.css"></head><body>{{ body|safe }}</body></html>'
    )
    settings.TEMPLATES = [{**settings.TEMPLATES[0], "DIRS": [tmp_path]}]

    def paper(body: str, **photos: Path) -> Paper:
        return Paper("tried.html", {"body": body}, "Tried", photos=photos)

    return paper


def silent(_done: int, _total: int, _doing: str) -> None:
    pass


def drawn(paper: Paper, size: str = "A4") -> bytes:
    return render_pdf(paper, size=size, tell=silent)


def test_our_static_files_may_be_shown() -> None:
    found = resource_path(BASE + "static/css/print.css", {})
    assert found is not None
    assert found.name == "print.css"


@pytest.mark.parametrize(
    "url",
    [
        "http://example.org/logo.png",
        "https://example.org/static/css/print.css",
        "file:///etc/passwd",
        "file://paper.invalid/static/css/print.css",
        "ftp://paper.invalid/static/css/print.css",
        "data:text/css,p{}",
        "http://paper.invalid/static/css/print.css",
        "https://paper.invalid/static/../manage.py",
        "https://paper.invalid/static/%2e%2e/manage.py",
        "https://paper.invalid/static//etc/passwd",
        "https://paper.invalid/static/css",
        "https://paper.invalid/static/css/nothing.css",
        "https://paper.invalid/photos/other",
        "https://paper.invalid/photos/../../etc/passwd",
        "https://paper.invalid/etc/passwd",
        "https://paper.invalid@example.org/static/css/print.css",
    ],
)
def test_nothing_else_may_be_shown(url: str, tmp_path: Path) -> None:
    assert resource_path(url, {"mine": tmp_path / "mine.png"}) is None


def test_a_photo_handed_over_with_the_paper_is_shown(page: Callable[..., Paper], tmp_path: Path) -> None:
    (tmp_path / "mine.png").write_bytes(PIXEL)
    pdf = drawn(page('<img src="/photos/mine" alt="A rail">', mine=tmp_path / "mine.png"))
    with pdfplumber.open(io.BytesIO(pdf)) as opened:
        assert len(opened.pages[0].images) == 1


@pytest.mark.parametrize(
    "body",
    [
        '<img src="/photos/other" alt="">',
        '<img src="http://example.org/a.png" alt="">',
        '<img src="file:///etc/passwd" alt="">',
        '<img src="data:image/png;base64,AAAA" alt="">',
        '<link rel="stylesheet" href="https://example.org/a.css">',
        "<style>@import url(file:///etc/passwd);</style>",
        "<style>p { background: url(http://example.org/a.png) }</style><p>Text</p>",
        '<svg width="9" height="9"><image href="file:///etc/passwd" width="9" height="9"/></svg>',
        '<link rel="attachment" href="file:///etc/passwd">',
    ],
)
def test_a_paper_that_asks_for_more_is_not_made(page: Callable[..., Paper], body: str) -> None:
    with pytest.raises(PaperError, match="may not show"):
        drawn(page(body))


@pytest.mark.parametrize(("size", "width", "height"), [("A4", 595.28, 841.89), ("Letter", 612, 792)])
def test_the_sheet_is_as_large_as_was_asked(
    page: Callable[..., Paper], size: str, width: float, height: float
) -> None:
    with pdfplumber.open(io.BytesIO(drawn(page("<p>Text</p>"), size))) as opened:
        sheet = opened.pages[0]
        assert (sheet.width, sheet.height) == pytest.approx((width, height), abs=0.01)


def test_the_paper_is_tagged_and_printed_true_to_scale(page: Callable[..., Paper]) -> None:
    with pdfplumber.open(io.BytesIO(drawn(page("<p>Text</p>")))) as opened:
        catalog = opened.doc.catalog
        assert catalog["MarkInfo"] == {"Marked": True}
        assert "StructTreeRoot" in catalog
        assert catalog["ViewerPreferences"]["PrintScaling"].name == "None"
        assert catalog["ViewerPreferences"]["DisplayDocTitle"] is True


def test_only_our_own_fonts_are_in_it(page: Callable[..., Paper], settings: Any) -> None:
    pdf = drawn(page("<h1>Cut line</h1><p>29 1/2 ±1/16 in, ≤ 1/8 in, 65 lbf·ft, −0°</p>"))
    with pdfplumber.open(io.BytesIO(pdf)) as opened:
        drawn_with = {char["fontname"].split("+")[-1] for char in opened.pages[0].chars}
    css = (settings.BASE_DIR / "static/css/print.css").read_text()
    ours = [name.replace(" ", "-") for name in re.findall(r'@font-face { font-family: "([^"]+)"', css)]
    assert [font for font in drawn_with if not font.startswith(tuple(ours))] == []


def test_a_picture_among_letters_is_printed_in_words(page: Callable[..., Paper]) -> None:
    with pdfplumber.open(io.BytesIO(drawn(page("<p>Paid \U0001f44d</p>")))) as pdf:
        assert "Paid [thumbs up sign]" in pdf.pages[0].extract_text()


def test_the_same_paper_gives_the_same_bytes(page: Callable[..., Paper]) -> None:
    paper = page("<h1>Cut line</h1><p>29 1/2 in</p>")
    assert drawn(paper) == drawn(paper)


def test_progress_is_told_by_the_page(page: Callable[..., Paper]) -> None:
    told: list[tuple[int, int, str]] = []
    body = '<p>One</p><p class="page-break">Two</p><p class="page-break">Three</p>'
    paper = page(body)
    render_pdf(
        Paper(paper.template, paper.context, paper.title, pages=3),
        size="A4",
        tell=lambda *said: told.append(said),
    )
    assert [said for said in told if said[2].startswith("Setting page")] == [
        (1, 4, "Setting page 1"),
        (2, 4, "Setting page 2"),
        (3, 4, "Setting page 3"),
    ]
    assert told[-1] == (3, 4, "Writing the file")


def test_what_the_teller_raises_stops_the_drawing(page: Callable[..., Paper]) -> None:
    def lost(_done: int, _total: int, _doing: str) -> None:
        raise RuntimeError("the lease is lost")

    with pytest.raises(RuntimeError, match="the lease is lost"):
        render_pdf(page("<p>Text</p>"), size="A4", tell=lost)
