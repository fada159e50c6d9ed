"""Damage in carriage: the carrier's deadline, photos cleaned and kept, what is no photo told in place."""

import datetime as dt
import io
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
import time_machine
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from PIL import Image

from parts.models import DamagePhoto, KitOrder, Receipt
from parts.slip_files import bring_in_slip
from shop.models import Person, ShopSettings
from shop.pictures import MOST_BYTES
from shop.verification import verify_record
from tests.factories import NOON, ReceiptFactory, ReceiptLineFactory, ShopSettingsFactory
from tests.parts.counting_by_hand import counted
from tests.parts.kit_texts import SLIP
from tests.parts.pages_by_hand import said, sent

ORIENTATION, POSITION = 0x0112, 0x8825


@pytest.fixture(autouse=True)
def own_media(settings: Any, tmp_path: Path) -> None:
    settings.MEDIA_ROOT = tmp_path


def photo(colour: str = "red", name: str = "carton.jpg") -> SimpleUploadedFile:
    """A photo that says where it was taken and that the camera lay on its side."""
    exif = Image.Exif()
    exif[ORIENTATION] = 6
    exif.get_ifd(POSITION)[1] = "N"
    out = io.BytesIO()
    Image.new("RGB", (40, 20), colour).save(out, "JPEG", exif=exif)
    return SimpleUploadedFile(name, out.getvalue(), "image/jpeg")


@pytest.fixture
def receipt(counter: Client, order: KitOrder, clerk: Person) -> Receipt:
    """A delivery of which a sleeve came crushed."""
    bring_in_slip(SLIP, by=clerk, now=NOON)
    counted(counter, order, "PS-77", T1_100=1, T1_110={"counted": "1", "damaged": "1"}, T1_201=8)
    return Receipt.objects.get()


def page(receipt: Receipt) -> str:
    return reverse("parts:damage", args=[receipt.order.number, receipt.pk])


def send(client: Client, receipt: Receipt, *photos: Any, **changed: str) -> Any:
    fields = {"entry_id": str(uuid4()), "part_number": "T1-110", **changed}
    at = reverse("parts:damage_photograph", args=[receipt.order.number, receipt.pk])
    return client.post(at, {**fields, "photos": list(photos)})


def test_photos_are_kept_upright_and_without_their_position(counter: Client, receipt: Receipt) -> None:
    assert send(counter, receipt, photo(), photo("blue")).status_code == 302
    first, second = DamagePhoto.objects.all()
    assert first.file_is_whole()
    with Image.open(first.image.path) as kept:
        assert (kept.size, dict(kept.getexif())) == ((20, 40), {})
    text = counter.get(page(receipt)).content.decode()
    assert text.count("<img") == 2
    shown = counter.get(reverse("parts:damage_photo", args=[second.pk]))
    assert (shown["Content-Type"], shown.content[:2]) == ("image/jpeg", b"\xff\xd8")
    assert verify_record().is_whole


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"no photo at all", "no picture that can be read"),
        (b"GIF89a", "no picture that can be read"),
        (b"\xff\xd8\xff" + b"0" * MOST_BYTES, "larger than 15 MB"),
        (b"", "no picture that can be read"),
    ],
)
def test_what_is_no_photo_is_told_beside_the_field(
    counter: Client, receipt: Receipt, content: bytes, words: str
) -> None:
    answer = send(counter, receipt, SimpleUploadedFile("x.jpg", content))
    assert answer.status_code == 422
    assert words in said(answer, "photos")
    assert answer.context["form"]["part_number"].value() == "T1-110"
    assert not DamagePhoto.objects.exists()


@pytest.mark.parametrize(
    ("photos", "part", "field", "words"),
    [
        (0, "T1-110", "photos", "Take a photo"),
        (13, "T1-110", "photos", "At most 12"),
        (1, "T1-100", "part_number", "valid choice"),
        (1, "", "part_number", "required"),
    ],
)
def test_photos_of_nothing_damaged(
    counter: Client, receipt: Receipt, photos: int, part: str, field: str, words: str
) -> None:
    answer = send(counter, receipt, *(photo() for _ in range(photos)), part_number=part)
    assert answer.status_code == 422
    assert words in said(answer, field)


def test_sent_twice_is_recorded_once_and_the_same_photo_is_told(counter: Client, receipt: Receipt) -> None:
    entry = str(uuid4())
    assert {send(counter, receipt, photo(), entry_id=entry).status_code for _ in range(2)} == {302}
    assert DamagePhoto.objects.count() == 1
    again = send(counter, receipt, photo())
    assert again.status_code == 409
    assert "These photos are here already." in said(again, "photos")


def test_photos_of_two_people_are_both_kept(counter: Client, receipt: Receipt) -> None:
    first, second = (counter.get(page(receipt)).context["form"]["entry_id"].value() for _ in range(2))
    for entry, colour in ((first, "red"), (second, "blue")):
        assert send(counter, receipt, photo(colour), entry_id=str(entry)).status_code == 302
    assert DamagePhoto.objects.count() == 2


def test_whoever_only_looks_sees_photos_and_adds_none(
    counter: Client, looker: Client, receipt: Receipt
) -> None:
    send(counter, receipt, photo())
    text = looker.get(page(receipt)).content.decode()
    assert "<img" in text
    assert "Record the photos" not in text
    assert send(looker, receipt, photo("blue")).status_code == 403
    assert Client().get(reverse("parts:damage_photo", args=[DamagePhoto.objects.get().pk])).status_code == 302


def test_a_photo_that_was_changed_behind_our_back_is_not_shown(counter: Client, receipt: Receipt) -> None:
    send(counter, receipt, photo())
    row = DamagePhoto.objects.get()
    Path(row.image.path).write_bytes(photo("green").read())
    assert counter.get(reverse("parts:damage_photo", args=[row.pk])).status_code == 404


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (0, "by 20 Apr 2030, 5 days left"),
        (4, "by 20 Apr 2030, 1 day left"),
        (5, "by 20 Apr 2030, which is today"),
        (7, "by 20 Apr 2030, 2 days ago"),
    ],
)
def test_the_carriers_deadline_counts_days_by_the_calendar(
    clerk: Person, order: KitOrder, days: int, words: str
) -> None:
    """From a Monday at noon: the weekend counts."""
    counter = Client()
    with time_machine.travel(NOON, tick=False):
        counter.force_login(clerk)
        counted(counter, order, T1_110={"counted": "1", "damaged": "1"})
    receipt = Receipt.objects.get()
    assert receipt.claim_by == dt.date(2030, 4, 20)
    with time_machine.travel(NOON + dt.timedelta(days=days), tick=False):
        counter.force_login(clerk)
        for at in (page(receipt), reverse("parts:order", args=[order.number]), reverse("parts:order_list")):
            assert words in counter.get(at).content.decode()
        assert "own terms come first" in counter.get(page(receipt)).content.decode()


def test_the_deadline_is_the_shops_rule_and_falls_on_the_shops_day(counter: Client, order: KitOrder) -> None:
    ShopSettingsFactory(damage_claim_days=2, zone="America/Chicago")
    late = dt.datetime(2030, 4, 16, 2, 0, tzinfo=dt.UTC)  # still the 15th in the shop
    assert ShopSettings.current().day_at(late) == dt.date(2030, 4, 15)
    with time_machine.travel(late, tick=False):
        counter.force_login(Person.objects.get(role="parts_clerk"))
        counted(counter, order, T1_110={"counted": "1", "damaged": "1"})
    assert Receipt.objects.get().claim_by == dt.date(2030, 4, 17)


def test_what_went_back_or_was_counted_again_has_no_deadline(counter: Client, receipt: Receipt) -> None:
    KitOrder.objects.update(ordered_on="2026-01-01")
    assert "Damaged: 1 of T1-110." in counter.get(page(receipt)).content.decode()
    back = {"part_number": "T1-110", "quantity": "1", "reason": "damaged", "sent_on": "2026-01-05"}
    sent(counter, reverse("parts:returns", args=[receipt.order.number]), **back)
    assert "No damaged piece of this delivery is here." in counter.get(page(receipt)).content.decode()


def test_damage_of_before_there_were_deadlines_says_so(counter: Client, order: KitOrder) -> None:
    line = order.kit_revision.lines.get(part_number="T1-110")
    old = ReceiptFactory(order=order)
    ReceiptLineFactory(receipt=old, kit_line=line, damaged=1)
    assert "no day was noted when it came; ask the carrier" in counter.get(page(old)).content.decode()
