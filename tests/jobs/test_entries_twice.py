"""Every entry of a whole record sent once more: the answers are the same, and nothing is added."""

import datetime as dt

import pytest

from jobs.recording import FloorEntry, record_entry
from shop.canonical import canonical_bytes
from shop.models import Entry, Outcome
from shop.verification import verify_record
from tests.jobs.small_route import NOW, SmallRoute


@pytest.mark.django_db
def test_every_entry_twice_leaves_the_same_record_as_once(route: SmallRoute) -> None:
    route.up_to("C10")
    count = Entry.objects.filter(outcome=Outcome.ACCEPTED).count()
    for entry in list(Entry.objects.filter(stream=route.job.stream, outcome=Outcome.ACCEPTED)):
        sent = FloorEntry(
            entry.pk,
            route.job.number,
            entry.subject,
            entry.kind,
            entry.signer,
            entry.signed_how,
            saw=entry.saw_id,
            payload={**entry.payload, **entry.personal},
        )
        answer = record_entry(sent, now=NOW + dt.timedelta(days=3))
        assert answer.repeated
        assert canonical_bytes(dict(answer.data)) == canonical_bytes(entry.answer)
    assert Entry.objects.filter(outcome=Outcome.ACCEPTED).count() == count
    assert verify_record().is_whole
