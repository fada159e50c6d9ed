"""From a paper's template to the bytes of its PDF.

WeasyPrint is imported where it is used: it costs half a second, and the web server never needs it.
"""

import logging
import mimetypes
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

from django.contrib.staticfiles import finders
from django.core.exceptions import SuspiciousFileOperation
from django.template.loader import render_to_string
from django.utils.translation import gettext as _

from shop.documents.kinds import Paper, PaperError
from shop.documents.pictographs import pictures_in_words

# Nothing is ever asked of this host: a paper's addresses are resolved against it and then looked up.
BASE = "https://paper.invalid/"
HOST = "paper.invalid"
# As fine as a printer shows a photo; a camera's own resolution would make papers too large to send.
PHOTO_DPI = 200

Tell = Callable[[int, int, str], None]


def resource_path(url: str, photos: Mapping[str, Path]) -> Path | None:
    """The file that a paper may show under `url`; None where it may not.

    Allowed are `/static/…` of ours and `/photos/<name>` for the photos handed over with the paper. All
    else is refused: other hosts, files of the machine, data in the address.
    """
    parts = urlsplit(url)
    if parts.scheme != "https" or parts.netloc != HOST:
        return None
    path = unquote(parts.path)
    if path.startswith("/static/"):
        return _static_path(path.removeprefix("/static/"))
    return photos.get(path.removeprefix("/photos/")) if path.startswith("/photos/") else None


def _static_path(name: str) -> Path | None:
    try:
        found = finders.find(name)
    except SuspiciousFileOperation:
        return None
    path = Path(found) if found else None
    return path if path is not None and path.is_file() else None


def fetcher_for(photos: Mapping[str, Path]) -> Any:
    """What WeasyPrint fetches with. It keeps in `refused` what the paper may not have.

    A refusal stops the drawing, except within a picture in SVG, where WeasyPrint goes on without it;
    therefore `refused` is to be looked at in the end.
    """
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class PaperFetcher(URLFetcher):  # type: ignore[misc]
        def __init__(self) -> None:
            super().__init__(fail_on_errors=True)
            self.refused: list[str] = []

        def fetch(self, url: str, headers: Mapping[str, str] | None = None) -> Any:
            path = resource_path(url, photos)
            if path is None:
                self.refused.append(url[:200])
                raise PermissionError(url[:200])
            kind = mimetypes.guess_type(path.name)[0] or "application/octet-stream"
            return URLFetcherResponse(url, path.read_bytes(), {"Content-Type": kind})

    return PaperFetcher()


def render_pdf(paper: Paper, *, size: str, tell: Tell) -> bytes:
    """Draw `paper`, telling how far it is.

    Tagged for reading aloud (PDF/UA-1), printed true to scale, the same bytes for the same paper.

    Raises:
        PaperError: it refers to something that it may not show.
    """
    from weasyprint import HTML
    from weasyprint.urls import FatalURLFetchingError

    html = render_to_string(paper.template, {**paper.context, "title": paper.title, "sheet": size.lower()})
    fetcher = fetcher_for(paper.photos)
    with _progress(paper.pages, tell), suppress(FatalURLFetchingError):
        drawn: bytes = HTML(string=pictures_in_words(html), base_url=BASE, url_fetcher=fetcher).write_pdf(
            pdf_variant="pdf/ua-1", finisher=_print_true_to_scale, dpi=PHOTO_DPI
        )
    if fetcher.refused:
        raise PaperError(_("The paper asks for something that it may not show: %s") % fetcher.refused[0])
    return drawn


def _print_true_to_scale(_document: Any, pdf: Any) -> None:
    """Ask the printing program not to shrink the sheet: limits and templates are measured on it."""
    preferences = pdf.catalog.setdefault("ViewerPreferences", {})
    preferences["PrintScaling"] = "/None"


class _ProgressHandler(logging.Handler):
    """Turns WeasyPrint's own words about its steps into ours.

    It goes over the pages again for the page numbers in the text; how far it is never goes back.
    """

    def __init__(self, pages: int, tell: Tell) -> None:
        super().__init__()
        self.pages = pages
        self.tell = tell
        self.reached = 0

    def handle(self, record: logging.LogRecord) -> bool:
        # Not `emit`: what `tell` raises has to stop the work.
        said = record.getMessage()
        page = re.match(r"Step 5 .* Page (\d+)", said)
        if page and int(page[1]) > self.reached:
            self.reached = int(page[1])
            self.tell(min(self.reached, self.pages), self.pages + 1, _("Setting page %s") % self.reached)
        elif said.startswith("Step 6"):
            self.tell(self.pages, self.pages + 1, _("Writing the file"))
        return True


@contextmanager
def _progress(pages: int, tell: Tell) -> Iterator[None]:
    logger = logging.getLogger("weasyprint.progress")
    handler = _ProgressHandler(pages, tell)
    level, propagate = logger.level, logger.propagate
    logger.addHandler(handler)
    logger.setLevel(logging.INFO)
    logger.propagate = False
    try:
        yield
    finally:
        logger.removeHandler(handler)
        logger.setLevel(level)
        logger.propagate = propagate
