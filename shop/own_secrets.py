"""Passwords and PINs that only their owner types, on a page that the manager starts and does not see.

The address of that page carries all that is needed, signed. It holds for a while, and for one use: what it
says of the old password or PIN is not true any more once another is set.
"""

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.signing import BadSignature, Signer
from django.db import transaction
from django.utils.translation import gettext as _

from shop.canonical import sha256_of
from shop.events import append, lock_stream
from shop.models import Person
from shop.pins import fault_of_pin

SALT = "shop.own_secrets"


class What(StrEnum):
    PIN = "pin"
    PASSWORD = "password"  # noqa: S105 - the word, not one


HOLDS_FOR = {What.PIN: dt.timedelta(minutes=15), What.PASSWORD: dt.timedelta(days=2)}


class SecretRefused(Exception):  # noqa: N818 - what somebody typed, not a fault of the program
    """It may not be this one; `message` says why."""

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message


@dataclass(frozen=True)
class Ticket:
    """The leave to set one's own password or PIN, once."""

    person: Person
    what: What
    started_by: int
    until: dt.datetime

    @property
    def is_pin(self) -> bool:
        return self.what is What.PIN


@transaction.atomic
def start(person: Person, what: What, *, by: Person, now: dt.datetime) -> str:
    """The last part of the page's address, on which that person sets a password or PIN."""
    append(stream="shop", kind=f"person.{what}_asked", data={"by": by.pk, "person": person.pk}, now=now)
    until = int((now + HOLDS_FOR[what]).timestamp())
    said = {"person": person.pk, "what": what, "by": by.pk, "until": until, "old": _old(person, what)}
    return Signer(salt=SALT).sign_object(said)


def ticket_of(token: str, *, now: dt.datetime) -> Ticket | None:
    """What an address gives leave to; None where it has run out, was used, or is made up."""
    try:
        said: dict[str, Any] = Signer(salt=SALT).unsign_object(token)
    except (BadSignature, ValueError):
        return None
    what = What(said["what"])
    until = dt.datetime.fromtimestamp(said["until"], dt.UTC)
    person = Person.objects.filter(pk=said["person"], is_active=True).first()
    if person is None or now >= until or said["old"] != _old(person, what):
        return None
    return Ticket(person, what, said["by"], until)


@transaction.atomic
def set_secret(token: str, first: str, again: str, *, now: dt.datetime) -> None:
    """Set the password or PIN that was typed twice.

    Raises:
        SecretRefused: the two differ, it is too easy, or the leave does not hold any more.
    """
    lock_stream("shop")
    ticket = ticket_of(token, now=now)
    if ticket is None:
        raise SecretRefused(_("This page has run out or was used already. Ask the manager for another"))
    fault = _fault_of(ticket, first, again)
    if fault:
        raise SecretRefused(fault)
    person = ticket.person
    if ticket.is_pin:
        person.set_pin(first)
    else:
        person.set_password(first)
    person.save(update_fields=["pin_hash", "password"])
    data = {"person": person.pk, "started_by": ticket.started_by}
    append(stream="shop", kind=f"person.{ticket.what}_set", data=data, now=now)


def _fault_of(ticket: Ticket, first: str, again: str) -> str:
    if first != again:
        return _("The two are not the same. Type both again")
    if ticket.is_pin:
        return fault_of_pin(first)
    try:
        validate_password(first, ticket.person)
    except ValidationError as error:
        return " ".join(error.messages)
    return ""


def _old(person: Person, what: What) -> str:
    kept = person.pin_hash if what is What.PIN else person.password
    return sha256_of(f"{what}/{person.pk}/{kept}".encode())[:32]
