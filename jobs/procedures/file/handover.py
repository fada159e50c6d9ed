"""What whoever gets the car back is told: what to come back for and when, and what to mind."""

from collections.abc import Iterable, Mapping
from typing import Any

from django.utils.translation import gettext as _

from jobs.procedures.file.data import CautionData, ComeBackData, HandoverData
from jobs.procedures.file.fields import Faults, Fields
from jobs.procedures.yaml_text import Table

LONGEST_WHEN = 60
LONGEST_WHAT = 300


def read_handover(table: Table | None, signals: tuple[str, ...], faults: Faults) -> HandoverData:
    """The `handover` of a file; nothing where there is none."""
    if table is None:
        return HandoverData()
    fields = Fields(table, "handover", faults)
    fields.refuse_unknown(("come_back", "cautions"))
    come_back, cautions = [], []
    for number, row in enumerate(fields.tables("come_back"), start=1):
        inner = Fields(row, _("come_back %(number)d") % {"number": number}, faults)
        inner.refuse_unknown(("after", "what"))
        after = inner.text("after", longest=LONGEST_WHEN, required=True)
        come_back.append(ComeBackData(after, inner.text("what", longest=LONGEST_WHAT, required=True)))
    for number, row in enumerate(fields.tables("cautions"), start=1):
        inner = Fields(row, _("handover caution %(number)d") % {"number": number}, faults)
        inner.refuse_unknown(("signal", "text"))
        signal = inner.choice("signal", signals, required=True)
        cautions.append(CautionData(signal, inner.text("text", longest=LONGEST_WHAT, required=True)))
    return HandoverData(tuple(come_back), tuple(cautions))


def as_kept(data: HandoverData) -> dict[str, Any]:
    """The handover as the revision's row and the file hold it; empty lists left out."""
    lists = {
        "come_back": [{"after": c.after, "what": c.what} for c in data.come_back],
        "cautions": [{"signal": c.signal, "text": c.text} for c in data.cautions],
    }
    return {name: rows for name, rows in lists.items() if rows}


def of_kept(kept: Mapping[str, Iterable[Mapping[str, str]]]) -> HandoverData:
    """The handover that a revision's row holds."""
    return HandoverData(
        tuple(ComeBackData(row["after"], row["what"]) for row in kept.get("come_back", ())),
        tuple(CautionData(row["signal"], row["text"]) for row in kept.get("cautions", ())),
    )
