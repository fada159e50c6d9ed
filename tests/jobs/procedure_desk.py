"""Browsers for the tests of procedure pages."""

import datetime as dt

from django.test import Client

from jobs.models import ProcedureRevision
from jobs.procedures.bringing_in import bring_in_procedure
from shop.models import Role
from tests.factories import NOON, PersonFactory
from tests.jobs.procedure_texts import PROCEDURE

EVERYBODY = list(Role.values)
WRITERS = [Role.LEAD, Role.MANAGER]
LOOKERS = [role for role in EVERYBODY if role not in WRITERS]


def desk_of(role: str) -> Client:
    """A browser at which somebody of that role is signed in."""
    client = Client()
    client.force_login(PersonFactory(role=role))
    return client


def kept(content: bytes = PROCEDURE, *, release: bool = False, now: dt.datetime = NOON) -> ProcedureRevision:
    lead = PersonFactory(role=Role.LEAD)
    other = PersonFactory(role=Role.LEAD) if release else None
    return bring_in_procedure(content, by=lead, now=now, release=release, released_by=other).revision
