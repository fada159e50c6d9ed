"""One revision of a kit, and its file."""

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from parts.models import KitOrder, KitRevision, PackingSlip
from tests.factories import KitLineFactory
from tests.parts.kit_texts import KIT, SLIP


def test_every_line_is_shown_with_the_orders_on_it(looker: Client, order: KitOrder) -> None:
    text = looker.get(reverse("parts:kit", args=["KIT-T1", "A"])).content.decode()
    for words in ("T1-100", "T1-110", "T1-200", "1/2-20", "T1-201, T1-202", "K-0001", "released"):
        assert words in text
    assert looker.get(reverse("parts:kit", args=["KIT-T1", "Z"])).status_code == 404


def test_files_come_out_as_they_went_in(counter: Client, looker: Client, order: KitOrder) -> None:
    counter.post(reverse("parts:slip_bring_in"), {"text": SLIP.decode()})
    slip = looker.get(reverse("parts:slip_export", args=[PackingSlip.objects.get().pk]))
    kit = looker.get(reverse("parts:kit_export", args=["KIT-T1", "A"]))
    assert slip.content.removeprefix(b"\xef\xbb\xbf") == SLIP
    assert kit.content.removeprefix(b"\xef\xbb\xbf") == KIT
    assert kit["Content-Type"] == "text/csv; charset=utf-8"
    assert kit["Content-Disposition"] == 'attachment; filename="KIT-T1 A.csv"'


def test_queries_do_not_grow_with_lines(looker: Client, revision: KitRevision) -> None:
    at = reverse("parts:kit", args=["KIT-T1", "A"])
    looker.get(at)
    with CaptureQueriesContext(connection) as few:
        looker.get(at)
    for position in range(10, 20):
        KitLineFactory(revision=revision, position=position)
    with CaptureQueriesContext(connection) as many:
        looker.get(at)
    assert len(few) == len(many)
