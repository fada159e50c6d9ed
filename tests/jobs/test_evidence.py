"""Evidence: erased where it is personal, and named wherever it was changed behind the door."""

import uuid
from dataclasses import replace
from pathlib import Path

from jobs.models import Authority, Photo
from jobs.recording import FloorEntry, record_entry
from shop.entries import OTHER_CONTENT
from shop.models import Customer, Entry, Event, SignedHow
from shop.verification import verify_record
from tests.jobs.small_route import SmallRoute, assert_accepted


def test_a_customer_can_be_erased_and_the_record_stays_whole(route: SmallRoute) -> None:
    route.authorise()
    Customer.objects.update(name="erased", phone="", email="")
    Authority.objects.update(given_by="erased")
    Entry.objects.filter(kind="authority").update(personal={})
    assert verify_record().is_whole
    written = b"".join(bytes(p) for p in Event.objects.values_list("payload", flat=True))
    kept = "".join(str(row) for row in Entry.objects.values_list("payload", "answer"))
    assert b"Test customer" not in written
    assert "Test customer" not in kept


def test_an_authority_sent_twice_is_one_and_by_another_name_is_refused(route: SmallRoute) -> None:
    said = {"scope": "All", "given_by": "Test customer", "way": "typed_name"}
    sent = FloorEntry(
        uuid.uuid4(),
        route.job.number,
        "authority",
        "authority",
        route.people["wren"],
        SignedHow.DESK,
        payload=said,
    )
    assert record_entry(sent, now=route.now).accepted
    assert record_entry(sent, now=route.now).repeated
    other = replace(sent, payload={**said, "given_by": "Somebody else"})
    assert record_entry(other, now=route.now).outcome == OTHER_CONTENT


def test_evidence_slipped_in_without_an_event_is_named(route: SmallRoute) -> None:
    entry = Entry.objects.filter(stream=route.job.stream).first() or route.authorise().entry
    Authority.objects.all().delete()
    Authority.objects.create(
        job=route.job, scope="All", allows_cutting=True, given_by="x", way="typed_name",
        given_at=route.now, entry=entry,
    )  # fmt: skip
    found = [str(f) for f in verify_record().findings]
    assert any("jobs.authority" in line for line in found)


def test_a_photo_that_was_swapped_in_the_store_is_named(route: SmallRoute) -> None:
    route.up_to("W50")
    assert_accepted(route.send("start", "W50", "fenn"))
    assert_accepted(route.photograph("W50.1", "fenn"))
    assert verify_record().is_whole
    photo = Photo.objects.get()
    Path(photo.image.path).write_bytes(b"another picture")
    assert any("file was changed" in str(f) for f in verify_record().findings)
    Path(photo.image.path).unlink()
    assert any("file was changed or is gone" in str(f) for f in verify_record().findings)
