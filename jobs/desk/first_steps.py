"""What a new shop does before its first car: one step after the other, told until the first job is open."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.urls import reverse
from django.utils.translation import gettext as _

from jobs.models import Job, ProcedureRevision
from parts.models import KitOrder, KitRevision
from shop.actions import may, role_words, roles_of
from shop.models import Bay, Event, Instrument, Person, Role, Tablet
from shop.revisions import RevisionState


@dataclass(frozen=True)
class FirstStep:
    """One step. `href` is empty for somebody who may not do it; `who` says who may."""

    what: str
    why: str
    href: str
    who: str
    is_done: bool


def first_steps(role: str) -> tuple[FirstStep, ...]:
    """The steps as somebody of that role sees them; none where the shop has had a car."""
    return () if Job.objects.exists() else tuple(_steps(role))


def _steps(role: str) -> Iterator[FirstStep]:
    for name, what, why, is_done in (*_of_the_shop(), *_of_the_work()):
        href = reverse(name) if may(role, name) else ""
        yield FirstStep(what, why, href, role_words(roles_of(name)), is_done)


def _of_the_shop() -> Iterator[tuple[str, str, str, bool]]:
    changed = Event.objects.filter(kind="shopsettings.changed").exists()
    why = _("address, hours, units, tolerances, the rule of the fire watch, rates and tax")
    yield "shop:shop_settings", _("Look through the settings"), why, changed
    open_bays = Bay.objects.filter(is_open=True).exists()
    yield "shop:bay_list", _("Add the bays"), _("where the cars stand, with what each has"), open_bays
    why = _("each sets a PIN and a password; two of you lead or manage, for one writes and another releases")
    yield "shop:person_list", _("Take in who works here"), why, _people_are_ready()
    why = _("tapes, levels, wrenches, each with its calibration: nothing is measured without")
    instruments = Instrument.objects.filter(is_withdrawn=False).exists()
    yield "shop:instrument_list", _("Enter the instruments"), why, instruments
    tablets = Tablet.objects.filter(revoked_at=None).exists()
    yield "shop:tablet_list", _("Put a tablet into a bay"), _("by a code that is typed at it once"), tablets


def _people_are_ready() -> bool:
    people = Person.objects.filter(is_active=True)
    seconds = people.filter(role__in=(Role.LEAD, Role.MANAGER)).count() > 1
    return seconds and not people.filter(pin_hash="").exists()


def _of_the_work() -> Iterator[tuple[str, str, str, bool]]:
    released = RevisionState.RELEASED
    why = _("written here or brought in as CSV, then released")
    yield "parts:kit_list", _("Write a kit list"), why, KitRevision.objects.filter(state=released).exists()
    why = _("the route of a car with that kit, its limits and gates; then released by somebody else")
    procedures = ProcedureRevision.objects.filter(state=released, for_job=None).exists()
    yield "jobs:procedure_list", _("Write a procedure"), why, procedures
    why = _("what arrives is counted against it")
    yield "parts:order_list", _("Open a kit order"), why, KitOrder.objects.exists()
    yield "jobs:job_list", _("Open the first job"), _("customer, car, procedure, kit, authority"), False
