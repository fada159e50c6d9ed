"""Notes at an operation, and what the next shift is told."""

from typing import Any

from django.utils.translation import gettext as _

from jobs.models import WorkNote
from jobs.recording.work import Work

MOST_CHARACTERS = 1000


def note(work: Work) -> dict[str, Any]:
    """Write down something worth knowing about an operation."""
    return {"note": write_note(work).pk}


def write_note(work: Work, *, is_hand_over: bool = False) -> WorkNote:
    what = _("Say what the next shift must know") if is_hand_over else _("Write the note")
    made = WorkNote.objects.create(
        job_operation=work.operation.job_operation,
        text=work.text("text", what=what, most=MOST_CHARACTERS),
        is_hand_over=is_hand_over,
        person=work.signer,
        written_at=work.now,
        entry=work.entry,
    )
    kind = "note.handed_over" if is_hand_over else "note.written"
    work.tell(kind, {"operation": work.operation.code}, made)
    return made
