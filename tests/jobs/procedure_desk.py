"""Browsers for the tests of procedure pages."""

import datetime as dt

from django.test import Client

from jobs.models import ProcedureRevision
from jobs.procedures.bringing_in import bring_in_procedure
from shop.models import Person, Role
from tests.factories import NOON, PersonFactory
from tests.jobs.procedure_texts import PROCEDURE

EVERYBODY = list(Role.values)
WRITERS = [Role.LEAD, Role.MANAGER]
LOOKERS = [role for role in EVERYBODY if role not in WRITERS]


PIN = "2580"


def desk_of(role: str, person: Person | None = None) -> Client:
    """A browser at which somebody of that role, or that person, is signed in; the PIN is always the same."""
    signed_in = person or PersonFactory(role=role)
    signed_in.set_pin(PIN)
    signed_in.save(update_fields=["pin_hash"])
    client = Client()
    client.force_login(signed_in)
    return client


def kept(content: bytes = PROCEDURE, *, release: bool = False, now: dt.datetime = NOON) -> ProcedureRevision:
    lead = PersonFactory(role=Role.LEAD)
    other = PersonFactory(role=Role.LEAD) if release else None
    return bring_in_procedure(content, by=lead, now=now, release=release, released_by=other).revision
