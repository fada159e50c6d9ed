"""Making a paper: claimed, read, drawn, delivered. It may be started twice and is delivered once."""

import logging
from uuid import UUID
from zoneinfo import ZoneInfo

from django.utils import timezone
from django.utils.translation import gettext as _

from shop.documents import kinds
from shop.documents.delivering import fail, finish, give_back
from shop.documents.kinds import Paper, PaperError
from shop.documents.lease import Clock, LeaseLostError, claim, kept_lease, report
from shop.documents.models import Document
from shop.documents.rendering import render_pdf
from shop.models import ShopSettings, StreamHead

log = logging.getLogger(__name__)

READS = 5


class RecordMovesError(Exception):
    """The record was written to each time that it was read."""


def make(document_id: UUID, *, clock: Clock, worker: str) -> None:
    """Make the paper of a document, unless somebody does so already. Nothing is drawn in a transaction."""
    document = claim(document_id, now=clock(), worker=worker)
    if document is None:
        return
    try:
        with kept_lease(document, clock=clock):
            pdf = _draw(document)
        finish(document, pdf, now=clock())
    except LeaseLostError:
        log.warning("%s: attempt %s came too late", document, document.attempt)
    except PaperError as error:
        fail(document, reason=error.message, now=clock())
    except Exception:
        log.exception("%s: attempt %s failed", document, document.attempt)
        give_back(document, now=clock())


def _draw(document: Document) -> bytes:
    def tell(done: int, total: int, doing: str) -> None:
        report(document, done=done, total=total, doing=doing)

    tell(0, 0, _("Reading the record"))
    with timezone.override(ZoneInfo(ShopSettings.current().zone)):
        paper = read_record(document)
        tell(0, paper.pages + 1, _("Setting the text"))
        size = document.options.get("paper", kinds.PaperSize.A4)
        return render_pdf(paper, size=kinds.PaperSize(size).value, tell=tell)


def read_record(document: Document) -> Paper:
    """What the paper says, at one point of the record, which the document then names.

    Every change writes an event; so if none came in while it was read, what was read belongs together.

    Raises:
        PaperError: nobody knows this kind of paper any more.
        RecordMovesError: the record was written to each time.
    """
    kind = kinds.find(document.kind)
    if kind is None:
        raise PaperError(_("There is no such paper: %s") % document.kind)
    for _attempt in range(READS):
        head = _head(document.stream)
        document.record_sequence, document.record_hash = head
        paper = kind.builder(document)
        if _head(document.stream) == head:
            return paper
    raise RecordMovesError(document.stream)


def _head(stream: str) -> tuple[int, str]:
    head = StreamHead.objects.filter(stream=stream).values_list("sequence", "hash").first()
    return head or (0, "")
