"""A photo, recorded as an entry of its own before whatever refers to it."""

import hashlib
import uuid
from typing import Any

from django.core.exceptions import SuspiciousOperation
from django.core.files.storage import default_storage
from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.models import Photo
from jobs.recording.work import Work


def photo(work: Work) -> dict[str, Any]:
    """Record a photo whose cleaned file is in the store already."""
    name = str(work.payload.get("file", ""))
    sha256 = _sha256_in_store(name)
    if sha256 is None or sha256 != str(work.payload.get("sha256", "")):
        raise BadInput({"photo": _("The photo did not arrive whole; take it again")})
    made = Photo.objects.create(
        id=uuid.uuid4(),
        job=work.job,
        image=name,
        sha256=sha256,
        caption=str(work.payload.get("caption", "")).strip()[:200],
        taken_by=work.signer,
        taken_at=work.now,
        entry=work.entry,
    )
    work.tell("photo.recorded", {"photo": str(made.pk), "sha256": made.sha256}, made)
    return {"photo": str(made.pk)}


def _sha256_in_store(name: str) -> str | None:
    """What the picture of that name in the store hashes to; None where there is none."""
    if not name.startswith("photos/"):
        return None
    try:
        with default_storage.open(name, "rb") as picture:
            return hashlib.sha256(picture.read()).hexdigest()
    except (OSError, ValueError, SuspiciousOperation):
        return None
