"""Who may do what, as the plan takes it: by role as at the door, by certificate where one is asked for."""

import datetime as dt
from collections.abc import Iterable

from jobs.models import Job
from jobs.planning import problem as planning
from jobs.plans.hours import Clock, calendar_of, days_span, midnight
from jobs.plans.shop_state import ShopState
from shop.models import Bay, Instrument, Person, Role, Skill

# Skills that nobody has by role. The others are asked for by certificate where anybody holds one.
BY_CERTIFICATE = frozenset({Skill.STRUCTURAL_WELDING, Skill.INSPECTION})
ASKED_WHERE_HELD = frozenset({Skill.LAYOUT, Skill.ALIGNMENT})
# What is not a skill of a procedure: any work on a car, and what only a lead may sign.
ANY_WORK = "work on cars"
LEAD = "passing hold points"
# How long an instrument is counted as away when its calibration has run out and no day is known.
OUT_FOR = dt.timedelta(days=7)


def skill_word(skill: str) -> str:
    """A skill as people say it."""
    return str(Skill(skill).label) if skill in Skill.values else skill


def people_of(state: ShopState) -> tuple[planning.Person, ...]:
    held = {c.skill for p in state.people for c in p.certificates.all() if c.valid_until >= state.today}
    by_certificate = BY_CERTIFICATE | (ASKED_WHERE_HELD & held)
    return tuple(_person(state, person, by_certificate) for person in state.people)


def _person(state: ShopState, person: Person, by_certificate: Iterable[str]) -> planning.Person:
    skills: set[str] = {Skill.SERVICE}
    if person.role in {Role.FABRICATOR, Role.LEAD}:
        skills |= {ANY_WORK, Skill.FABRICATION, *(ASKED_WHERE_HELD - set(by_certificate))}
    if person.role == Role.LEAD:
        skills.add(LEAD)
    certificates = tuple(
        planning.Certificate(skill_word(c.skill), c.valid_from, c.valid_until)
        for c in person.certificates.all()
        if c.skill in by_certificate and c.valid_until >= state.today
    )
    return planning.Person(
        id=state.names[person.pk],
        skills=frozenset(skill_word(skill) for skill in skills),
        calendar=calendar_name(state, person),
        absences=tuple(sorted(days_span(a.first_day, a.last_day) for a in person.absences.all())),
        certificates=certificates,
    )


def calendar_name(state: ShopState, person: Person) -> str:
    return state.names[person.pk] if person.hours else state.settings.name


def calendars_of(state: ShopState) -> tuple[planning.Calendar, ...]:
    """The shop's hours, and those of each person who has others."""
    own = [(state.names[p.pk], p.hours) for p in state.people if p.hours]
    return tuple(
        calendar_of(name, hours, state.holidays)
        for name, hours in [(state.settings.name, state.settings.hours), *own]
    )


def bays_of(state: ShopState, occupied: Iterable[Job]) -> tuple[planning.Bay, ...]:
    """Bays in use. One with a car that cannot leave it stays open for that car, whatever was meant for it."""
    kept = {job.bay_id for job in occupied}
    return tuple(
        planning.Bay(
            id=bay_name(bay),
            features=frozenset(bay.features),
            down=()
            if bay.pk in kept
            else tuple(sorted(days_span(c.first_day, c.last_day) for c in bay.closures.all())),
        )
        for bay in state.bays
        if bay.is_open or bay.pk in kept
    )


def bay_name(bay: Bay) -> str:
    return str(bay.number)


def instruments_of(state: ShopState) -> tuple[planning.Instrument, ...]:
    """One that is not in calibration today is counted as back in a week."""
    return tuple(
        planning.Instrument(
            id=row.code,
            kind=str(row.get_kind_display()),
            out=() if row.is_in_calibration(on=state.today) else (_out(state.clock, state.now),),
        )
        for row in state.instruments
    )


def _out(clock: Clock, now: dt.datetime) -> planning.Span:
    today = midnight(clock.local(now).date())
    return planning.Span(today, today + OUT_FOR)


def out_of_calibration(state: ShopState) -> tuple[Instrument, ...]:
    return tuple(row for row in state.instruments if not row.is_in_calibration(on=state.today))
