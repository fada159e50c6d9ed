"""A photo that a desk's form brings along: recorded first, so that no error after it loses it."""

import datetime as dt
import uuid
from dataclasses import replace

from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.bad_input import BadInput
from jobs.pictures import store_picture
from jobs.recording import FloorEntry, record_entry


def with_photo(request: HttpRequest, sent: FloorEntry, *, now: dt.datetime) -> FloorEntry:
    """The entry naming the photo that was sent with it; the same entry where none was.

    Raises:
        BadInput: it is too large or no picture.
    """
    upload = request.FILES.get("photo")
    if not isinstance(upload, UploadedFile):
        return sent
    stored = store_picture(upload)
    photo_id = uuid.uuid5(sent.id, "photo")
    answer = record_entry(
        FloorEntry(
            id=photo_id,
            job_number=sent.job_number,
            subject=f"photo/{photo_id.hex[:24]}",
            kind="photo",
            signer=sent.signer,
            signed_how=sent.signed_how,
            payload={
                "file": stored.name,
                "sha256": stored.sha256,
                "caption": str(CAPTION.get(sent.kind, "")),
            },
            entered_at=sent.entered_at,
        ),
        now=now,
    )
    if not answer.accepted:
        raise BadInput({"photo": _("The photo was not recorded; take it again")})
    return replace(sent, payload={**sent.payload, "photo": str(answer.data["photo"])})


CAPTION = {
    "condition_mark": gettext_lazy("Condition as it came in"),
    "authority": gettext_lazy("Signed authority"),
    "estimate_answer": gettext_lazy("Signed estimate"),
    "extra_work": gettext_lazy("What was found"),
    "extra_work_answer": gettext_lazy("Signed answer to extra work"),
}
