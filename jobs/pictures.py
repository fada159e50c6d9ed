"""Cleaning a photo: turned upright, its position and everything else about its taking removed."""

import hashlib
import io
from dataclasses import dataclass

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext as _
from PIL import Image, ImageOps, UnidentifiedImageError

from jobs.bad_input import BadInput

MOST_BYTES = 15 * 1024 * 1024
LONGEST_SIDE = 2400
MOST_PIXELS = 80_000_000


@dataclass(frozen=True)
class StoredPicture:
    """A cleaned picture in the store, named by what is in it."""

    name: str
    sha256: str


def store_picture(upload: "UploadedFile[bytes]") -> StoredPicture:
    """Clean an uploaded photo and put it into the store. The same photo gives the same file.

    Raises:
        BadInput: it is too large, or no picture that can be read.
    """
    if upload.size is None or upload.size > MOST_BYTES:
        raise BadInput({"photo": _("The photo is larger than 15 MB; take a smaller one")})
    cleaned = _cleaned(upload.read())
    sha256 = hashlib.sha256(cleaned).hexdigest()
    name = f"photos/{sha256[:2]}/{sha256}.jpg"
    if not _is_there(name, sha256):
        default_storage.delete(name)  # cut short when the power went
        name = default_storage.save(name, ContentFile(cleaned))
    return StoredPicture(name, sha256)


def _is_there(name: str, sha256: str) -> bool:
    try:
        with default_storage.open(name, "rb") as picture:
            return hashlib.sha256(picture.read()).hexdigest() == sha256
    except OSError:
        return False


def _cleaned(data: bytes) -> bytes:
    try:
        with Image.open(io.BytesIO(data)) as picture:
            if picture.width * picture.height > MOST_PIXELS:
                raise BadInput({"photo": _("The photo has too many pixels; take a smaller one")})
            upright = ImageOps.exif_transpose(picture).convert("RGB")
    except (UnidentifiedImageError, OSError, ValueError, Image.DecompressionBombError) as error:
        raise BadInput({"photo": _("This is no picture that can be read; take a photo")}) from error
    upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    out = io.BytesIO()
    upright.save(out, "JPEG", quality=85)
    return out.getvalue()
