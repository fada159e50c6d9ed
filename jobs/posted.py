"""An entry as a form posts it: its identity, what its sender saw, its payload in fields `p_…`."""

import datetime as dt
from dataclasses import replace
from uuid import UUID

from django.http import HttpRequest
from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.recording import APART, FloorEntry
from shop.models import Person

PREFIX = "p_"
# An instrument whose number was typed or scanned goes before the one that was picked from the list.
BY_NUMBER = ("instrument", "angle_instrument")
MOST_CHARACTERS = 4000
MOST_FIELDS = 60
# Says who signed beside the signer. Whoever confirms that person's PIN puts it in, no form may.
CONFIRMED = frozenset({"second"})


def posted_entry(
    request: HttpRequest, *, number: int, signer: Person, signed_how: str, tablet_id: int | None = None
) -> FloorEntry:
    """Read the entry on job `number` out of a posted form.

    Raises:
        BadInput: its identity, what it saw, or its time cannot be read, or a field is far too long.
    """
    return FloorEntry(
        id=_identity(request, "entry_id"),
        job_number=number,
        subject=request.POST.get("subject", "").strip()[:40],
        kind=request.POST.get("kind", ""),
        signer=signer,
        signed_how=signed_how,
        saw=_identity(request, "saw") if request.POST.get("saw") else None,
        payload=dict(_payload(request)),
        entered_at=_entered_at(request.POST.get("entered_at", "")),
        tablet_id=tablet_id,
    )


def apart(sent: FloorEntry) -> FloorEntry:
    """What touches no evidence goes in beside it: a subject of its own, that nobody can be overtaken on."""
    if sent.kind not in APART:
        return sent
    code = sent.subject.partition("/")[0]
    return replace(sent, subject=f"{code}/{sent.kind}/{sent.id.hex[:12]}"[:40], saw=None)


def _identity(request: HttpRequest, name: str) -> UUID:
    try:
        return UUID(request.POST.get(name, ""))
    except ValueError as error:
        raise BadInput(
            {name: _("The form has lost its identity. Open the page again and enter it once more")}
        ) from error


def _payload(request: HttpRequest) -> dict[str, str]:
    fields = {
        name.removeprefix(PREFIX): value for name, value in request.POST.items() if name.startswith(PREFIX)
    }
    for name in BY_NUMBER:
        typed = str(fields.pop(f"{name}_number", "")).strip()
        if typed:
            fields[name] = typed
    if len(fields) > MOST_FIELDS:
        raise BadInput({"": _("The form has more fields than any of ours")})
    too_long = {
        name: _("%(given)d characters are too many; at most %(most)d")
        % {"given": len(value), "most": MOST_CHARACTERS}
        for name, value in fields.items()
        if len(value) > MOST_CHARACTERS
    }
    if too_long:
        raise BadInput(too_long)
    return {name: str(value) for name, value in fields.items() if name not in CONFIRMED}


def _entered_at(text: str) -> dt.datetime | None:
    """When the sender's clock said it was entered; the server's own time where it says nothing."""
    if not text:
        return None
    try:
        found = dt.datetime.fromisoformat(text)
    except ValueError:
        found = None
    if found is None or found.tzinfo is None:
        raise BadInput({"entered_at": _("The time of entry cannot be read. Open the page again")})
    return found
