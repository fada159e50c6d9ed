"""Cleaning a photo: turned upright, its position and everything else about its taking removed."""

import hashlib
import io
import struct
from dataclasses import dataclass

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext as _
from PIL import Image, ImageFile, ImageOps, UnidentifiedImageError
from pillow_heif import register_heif_opener

MOST_BYTES = 15 * 1024 * 1024
LONGEST_SIDE = 2400
MOST_PIXELS = 80_000_000
# What a picture cut short or changed on its way may raise while it is read, the formats' own words for it.
UNREADABLE = (
    UnidentifiedImageError,
    Image.DecompressionBombError,
    OSError,
    ValueError,
    SyntaxError,
    LookupError,
    struct.error,
)

# As phones take photos.
register_heif_opener()


class PictureError(Exception):
    """What was sent cannot be kept as a photo; `message` says why in the user's words."""

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message


@dataclass(frozen=True)
class StoredPicture:
    """A cleaned picture in the store, named by what is in it."""

    name: str
    sha256: str


def store_picture(upload: "UploadedFile[bytes]", *, folder: str = "photos") -> StoredPicture:
    """Clean an uploaded photo and put it into a folder of the store. The same photo gives the same file.

    Raises:
        PictureError: it is too large, or no picture that can be read.
    """
    if upload.size is None or upload.size > MOST_BYTES:
        raise PictureError(_("The photo is larger than 15 MB; take a smaller one"))
    cleaned = _cleaned(upload.read())
    sha256 = hashlib.sha256(cleaned).hexdigest()
    name = f"{folder}/{sha256[:2]}/{sha256}.jpg"
    if sha256_in_store(name) != sha256:
        default_storage.delete(name)  # cut short when the power went
        name = default_storage.save(name, ContentFile(cleaned))
    return StoredPicture(name, sha256)


def sha256_in_store(name: str) -> str | None:
    """What the picture of that name in the store hashes to; None where there is none."""
    try:
        with default_storage.open(name, "rb") as picture:
            return hashlib.sha256(picture.read()).hexdigest()
    except OSError:
        return None


def _cleaned(data: bytes) -> bytes:
    # The typesetter of papers, where it runs in the same process, has this switched on for its own pictures.
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    try:
        with Image.open(io.BytesIO(data)) as picture:
            if picture.width * picture.height > MOST_PIXELS:
                raise PictureError(_("The photo has too many pixels; take a smaller one"))
            upright = ImageOps.exif_transpose(picture).convert("RGB")
    except UNREADABLE as error:
        raise PictureError(_("This is no picture that can be read; take a photo")) from error
    upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    out = io.BytesIO()
    upright.save(out, "JPEG", quality=85)
    return out.getvalue()
