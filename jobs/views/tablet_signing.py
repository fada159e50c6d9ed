"""Who signs an entry at a tablet: whoever has the turn, somebody else by PIN, and a second person."""

from dataclasses import replace

from django.http import HttpRequest
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.recording import FloorEntry
from shop.models import Person, SignedHow, Turn
from shop.pins import PinRefused, confirm_pin
from shop.requests import sender_of
from shop.tablets import place_of


def signer_of(request: HttpRequest, turn: Turn) -> tuple[Person, str]:
    """Whoever is in turn; or somebody else who signs this one entry with a PIN.

    Raises:
        BadInput: nobody was chosen, or the PIN is wrong.
    """
    username = request.POST.get("person", "")
    if not username and not request.POST.get("pin"):
        return turn.person, SignedHow.TURN
    person = Person.objects.filter(username=username or turn.person.username, is_active=True).first()
    if person is None:
        raise BadInput({"person": _("Choose who signs")})
    _confirm(request, turn, person, "pin")
    return person, SignedHow.PIN


def with_second(request: HttpRequest, turn: Turn, sent: FloorEntry) -> FloorEntry:
    """The entry with the second person beside the signer, where one was chosen and gave their own PIN."""
    username = request.POST.get("second_username", "")
    if not username:
        return sent
    second = Person.objects.filter(username=username, is_active=True).first()
    if second is None:
        raise BadInput({"second_username": _("Choose the second person from the list")})
    _confirm(request, turn, second, "second_pin")
    return replace(sent, payload={**sent.payload, "second": second.pk})


def _confirm(request: HttpRequest, turn: Turn, person: Person, field: str) -> None:
    now, address = timezone.now(), sender_of(request)
    try:
        confirm_pin(
            person, request.POST.get(field, ""), place=place_of(turn.tablet), now=now, address=address
        )
    except PinRefused as refusal:
        raise BadInput({field: str(refusal)}) from refusal
