"""What was recorded while somebody else had the page open: who did what, and when."""

from collections.abc import Mapping
from typing import Any

from django.utils import timezone
from django.utils.dateparse import parse_datetime
from django.utils.translation import gettext as _

from jobs.entry_kinds import kind_words
from shop.models import Person


def happened_words(entry: Mapping[str, Any] | None) -> str:
    """The entry that came first, as the door tells it: "Fenn recorded at 14:05: a reading"."""
    if not entry:
        return _("Nothing stands recorded here")
    signer = Person.objects.filter(pk=entry["signer"]).first()
    at = parse_datetime(str(entry["received_at"]))
    return _("%(who)s recorded at %(time)s: %(kind)s") % {
        "who": signer,
        "kind": kind_words(str(entry["kind"])),
        "time": f"{timezone.localtime(at):%H:%M}" if at else "?",
    }
