"""Whatever shape a payload has, it is answered in words and nothing is saved."""

import datetime as dt
import uuid
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from jobs.bad_input import BadInput
from jobs.pictures import store_picture
from jobs.recording import FloorEntry, record_entry
from shop.models import Entry, SignedHow
from tests.jobs.small_route import SmallRoute

PIN = SignedHow.PIN

DEEP: Any = "x"
for _level in range(5000):
    DEEP = [DEEP]
SHAPES: list[Any] = [
    None, 7, True, 1.5, float("nan"), 10**400, [], {}, ["29"], {"value": "29"}, DEEP, b"29",
    "\ud800", "29\0", "9" * 5000,
]  # fmt: skip


@pytest.mark.parametrize("shape", SHAPES, ids=range(len(SHAPES)))
@pytest.mark.parametrize(
    ("kind", "subject", "field"),
    [
        ("reading", "I10", "value"), ("reading", "I10", "checkpoint"), ("reading", "I10", "instrument"),
        ("problem", "I10", "text"), ("problem", "I10", "checkpoint"), ("photo", "photo/1", "file"),
        ("move", "move", "bay"), ("move", "move", "stands"), ("override", "T10", "reason_code"),
        ("authority", "authority", "way"), ("disposition", "I10", "nonconformance"),
        ("loosen", "A10", "checkpoint"), ("accept_close", "I10", "checkpoint"),
    ],
)  # fmt: skip
def test_anything_but_text_is_answered_in_words(
    route: SmallRoute, kind: str, subject: str, field: str, shape: object
) -> None:
    with pytest.raises(BadInput) as bad:
        route.send(kind, subject, "lind", PIN, **{field: shape})
    assert all(bad.value.errors.values())
    assert not Entry.objects.filter(stream=route.job.stream).exists()


@pytest.mark.parametrize("payload", [[], "x", None, {7: "x"}, {"\0": "x"}, {str(n): "" for n in range(61)}])
def test_a_payload_that_is_no_form_is_answered_in_words(route: SmallRoute, payload: Any) -> None:
    with pytest.raises(BadInput):
        record_entry(
            FloorEntry(
                uuid.uuid4(), route.job.number, "I10", "start", route.people["wren"], PIN, payload=payload
            ),
            now=route.now,
        )


@pytest.mark.parametrize(
    "given",
    [
        dt.datetime(2026, 3, 2, 14),  # noqa: DTZ001 - a time without its zone is what is tried
        dt.datetime.max.replace(tzinfo=dt.timezone(dt.timedelta(hours=-12))),
        dt.datetime.min.replace(tzinfo=dt.timezone(dt.timedelta(hours=12))),
    ],
)
def test_a_time_of_entry_that_is_none_is_answered_in_words(route: SmallRoute, given: dt.datetime) -> None:
    with pytest.raises(BadInput):
        record_entry(
            FloorEntry(
                uuid.uuid4(), route.job.number, "I10", "start", route.people["wren"], PIN, entered_at=given
            ),
            now=route.now,
        )


@pytest.mark.parametrize("bay", ["²", "٣", "9" * 40, "-1", "1.0", "one"])
def test_a_bay_that_is_none_is_said(route: SmallRoute, bay: str) -> None:
    with pytest.raises(BadInput) as bad:
        route.send("move", "move", "lind", bay=bay)
    assert set(bad.value.errors) == {"bay"}


def test_a_problem_at_an_unknown_checkpoint_is_refused(route: SmallRoute) -> None:
    assert route.send("problem", "I10", "moss", text="Rust", checkpoint="I10.9").outcome == "refused"


@pytest.mark.parametrize(
    "name", ["photos/../../etc/passwd", "photos/none.jpg", "photos/", "x", "/etc/passwd"]
)
def test_a_photo_that_is_not_in_the_store_is_not_recorded(route: SmallRoute, name: str) -> None:
    with pytest.raises(BadInput):
        route.send("photo", "photo/1", "fenn", file=name, sha256="0" * 64)


def test_a_photo_that_is_not_what_was_sent_is_not_recorded(route: SmallRoute) -> None:
    name = default_storage.save("photos/other.jpg", ContentFile(b"something else"))
    with pytest.raises(BadInput):
        route.send("photo", "photo/1", "fenn", file=name, sha256="0" * 64)


def test_a_photo_cut_short_in_the_store_is_stored_again() -> None:
    out = BytesIO()
    Image.new("RGB", (40, 30), "#884422").save(out, "PNG")
    first = store_picture(SimpleUploadedFile("a.png", out.getvalue()))
    whole = default_storage.open(first.name).read()
    Path(default_storage.path(first.name)).write_bytes(whole[:100])
    again = store_picture(SimpleUploadedFile("a.png", out.getvalue()))
    assert again == first
    assert default_storage.open(again.name).read() == whole
