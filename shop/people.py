"""Who belongs to the shop: taking somebody in, changing what they are, letting them go. Nobody is deleted."""

import datetime as dt

from django.db import transaction
from django.utils.translation import gettext as _

from shop.events import lock_stream
from shop.keeping import keep
from shop.models import Person, Role, Turn
from shop.tablets import end_turn


class PersonRefused(Exception):  # noqa: N818 - what somebody asked for, not a fault of the program
    """It may not be so; `field` names what is to be changed, `message` says why."""

    def __init__(self, field: str, message: str) -> None:
        super().__init__(message)
        self.field, self.message = field, message


@transaction.atomic
def add_person(person: Person, *, by: Person, now: dt.datetime) -> Person:
    """Take somebody in. Password and PIN they set themselves, by a link that the manager starts."""
    person.set_unusable_password()
    _administers(person)
    keep(person, changed=("username", "full_name", "role"), added=True, by=by, now=now)
    return person


@transaction.atomic
def change_person(person: Person, *, full_name: str, role: str, by: Person, now: dt.datetime) -> None:
    """Change name or role. What the role lets them do changes with their next page.

    Raises:
        PersonRefused: nobody would be manager any more.
    """
    before = _locked(person)
    if before.role == Role.MANAGER and role != Role.MANAGER:
        _require_another_manager(before, "role")
    given = {"full_name": full_name, "role": role}
    changed = [name for name, value in given.items() if getattr(before, name) != value]
    for name, value in given.items():
        setattr(person, name, value)
    if changed:
        _administers(person)
        keep(person, changed=changed, added=False, by=by, now=now)


@transaction.atomic
def deactivate(person: Person, *, by: Person, now: dt.datetime) -> None:
    """Somebody has left: signed out everywhere, turns ended, what they signed stays.

    Raises:
        PersonRefused: it is the last manager, or whoever asks.
    """
    current = _locked(person)
    if not current.is_active:
        return
    if current.pk == by.pk:
        raise PersonRefused("", _("Nobody can sign themselves off; another manager does it"))
    if current.role == Role.MANAGER:
        _require_another_manager(current, "")
    for turn in Turn.objects.select_related("tablet__bay", "person").filter(person=current, ended_at=None):
        end_turn(turn, now=now)
    person.is_active = False
    keep(person, changed=("is_active",), added=False, by=by, now=now)


@transaction.atomic
def activate(person: Person, *, by: Person, now: dt.datetime) -> None:
    """Somebody is back, with the password and the PIN that they had."""
    if not _locked(person).is_active:
        person.is_active = True
        keep(person, changed=("is_active",), added=False, by=by, now=now)


def _locked(person: Person) -> Person:
    """The person as stored now; whoever changes people at the same time waits."""
    lock_stream("shop")
    return Person.objects.get(pk=person.pk)


def _administers(person: Person) -> None:
    """The administration pages go with the role."""
    person.is_staff = person.is_superuser = person.is_manager


def _require_another_manager(person: Person, field: str) -> None:
    others = Person.objects.filter(role=Role.MANAGER, is_active=True).exclude(pk=person.pk)
    if not others.exists():
        message = _("%(name)s is the only manager; make somebody else manager first") % {"name": person}
        raise PersonRefused(field, message)
