"""Signing an entry at a desk: by whoever is signed in, by PIN where that is asked, with a second."""

import datetime as dt
from dataclasses import replace

from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.posted import posted_entry
from jobs.recording import FloorEntry
from shop.models import Person, SignedHow
from shop.pins import PinRefused, confirm_pin
from shop.requests import PersonRequest, sender_of


def signed_entry(request: PersonRequest, *, number: int, asks_pin: bool, now: dt.datetime) -> FloorEntry:
    """The posted entry, signed.

    Raises:
        BadInput: a PIN is missing or wrong, or the form cannot be read.
    """
    sent = posted_entry(request, number=number, signer=request.user, signed_how=SignedHow.DESK)
    if asks_pin:
        _confirm(request, request.user, field="pin", now=now)
        sent = replace(sent, signed_how=SignedHow.PIN)
    second = confirm_second(request, now=now)
    if second is not None:
        sent = replace(sent, payload={**sent.payload, "second": second.pk})
    return sent


def confirm_second(request: PersonRequest, *, now: dt.datetime) -> Person | None:
    """The second person, by name and PIN; None where none was named.

    Raises:
        BadInput: there is no such person, or the PIN is missing or wrong.
    """
    if not request.POST.get("second_username"):
        return None
    second = Person.objects.filter(username=request.POST["second_username"], is_active=True).first()
    if second is None:
        raise BadInput({"second_username": _("Choose the second person from the list")})
    _confirm(request, second, field="second_pin", now=now)
    return second


def _confirm(request: PersonRequest, person: Person, *, field: str, now: dt.datetime) -> None:
    pin = request.POST.get(field, "")
    if not pin:
        raise BadInput({field: _("Enter the PIN of %(name)s") % {"name": person}})
    try:
        confirm_pin(person, pin, place=f"desk/{request.user.pk}", now=now, address=sender_of(request))
    except PinRefused as refusal:
        raise BadInput({field: refusal.message}) from refusal
