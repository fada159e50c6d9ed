"""Photos from a camera: kept upright, without their position, whatever the phone writes."""

import io

import pytest
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import ExifTags, Image

from shop.pictures import MOST_BYTES, PictureError, store_picture

TURNED_RIGHT = 6


@pytest.fixture(autouse=True)
def _store(tmp_path: object, settings: object) -> None:
    settings.MEDIA_ROOT = tmp_path  # type: ignore[attr-defined]


def as_taken(kind: str, *, turned: bool = False) -> SimpleUploadedFile:
    """As the sensor saw it, blue on the left and red on the right, with the place where it was."""
    picture = Image.new("RGB", (400, 300), "red")
    picture.paste("blue", (0, 0, 200, 300))
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = TURNED_RIGHT if turned else 1
    exif[ExifTags.Base.Make] = "Invented Camera"
    exif.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSLatitudeRef] = "N"
    out = io.BytesIO()
    picture.save(out, kind, exif=exif.tobytes())
    return SimpleUploadedFile(f"photo.{kind.lower()}", out.getvalue())


@pytest.mark.parametrize("kind", ["JPEG", "HEIF", "PNG", "WEBP"])
def test_a_photo_is_kept_as_a_plain_picture_without_its_position(kind: str) -> None:
    taken = as_taken(kind)
    assert dict(Image.open(taken).getexif())
    taken.seek(0)
    with Image.open(default_storage.open(store_picture(taken).name)) as kept:
        assert (kept.format, kept.size) == ("JPEG", (400, 300))
        assert dict(kept.getexif()) == {}
        assert "exif" not in kept.info


@pytest.mark.parametrize("kind", ["JPEG", "HEIF"])
def test_a_phone_held_upright_gives_an_upright_picture(kind: str) -> None:
    with Image.open(default_storage.open(store_picture(as_taken(kind, turned=True)).name)) as kept:
        assert kept.size == (300, 400)
        red, _green, blue = kept.getpixel((150, 20))  # type: ignore[misc]
        assert blue > red


def test_a_photo_that_is_too_large_is_told_with_the_size() -> None:
    with pytest.raises(PictureError, match="larger than 15 MB"):
        store_picture(SimpleUploadedFile("photo.jpg", b"\xff" * (MOST_BYTES + 1)))


def test_a_photo_cut_short_or_spoilt_on_its_way_is_no_picture() -> None:
    whole = as_taken("PNG").read()
    for spoilt in (
        whole[:300],
        whole.replace(b"IDAT", b"I\x00AT"),
        b"",
        b"<svg/>",
        as_taken("HEIF").read()[:400],
    ):
        with pytest.raises(PictureError, match="no picture that can be read"):
            store_picture(SimpleUploadedFile("photo.png", spoilt))
