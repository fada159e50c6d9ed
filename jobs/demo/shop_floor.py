"""Who and what the scenario's shop has: settings, bays, people, instruments."""

import datetime as dt
from typing import Any

from django.db import models

from jobs.demo.files import day
from shop.events import append
from shop.models import Bay, Calibration, Certificate, Instrument, Person, ShopSettings, Tool


def load_shop(data: dict[str, Any], *, now: dt.datetime) -> None:
    """The shop's settings and its bays."""
    row = ShopSettings.objects.create(
        **{
            **data["shop"],
            "fire_watch_minutes": int(data["shop"]["fire_watch_minutes"]),
        }
    )
    bays = [
        Bay.objects.create(number=int(b["number"]), name=b["name"], features=b["features"])
        for b in data["bays"]
    ]
    _tell("shop", "shop.loaded", now, row, *bays)


def load_people(data: dict[str, Any], *, now: dt.datetime, today: dt.date) -> dict[str, Person]:
    """The people, by their sign-in names. The manager may look into the admin."""
    people = {}
    for entry in data["people"]:
        person = Person(username=entry["username"], full_name=entry["name"], role=entry["role"])
        person.is_staff = person.is_superuser = person.is_manager
        person.set_password(entry["password"])
        person.set_pin(entry["pin"])
        person.save()
        people[person.username] = person
        for certificate in entry.get("certificates", ()):
            row = Certificate.objects.create(
                person=person,
                skill=certificate["skill"],
                number=certificate["number"],
                valid_from=day(certificate["valid_from"], today),
                valid_until=day(certificate["valid_until"], today),
            )
            _tell("shop", "certificate.loaded", now, row)
    return people


def load_instruments(data: dict[str, Any], *, now: dt.datetime, today: dt.date) -> None:
    """The instruments with their calibrations."""
    for entry in data["instruments"]:
        fields = {name: value for name, value in entry.items() if name != "calibrations"}
        row = Instrument.objects.create(**fields)
        calibrations = [
            Calibration.objects.create(
                instrument=row,
                done_on=day(c["done"], today),
                due_on=day(c["due"], today),
                way=c["way"],
                certificate=c.get("certificate", ""),
                expanded_uncertainty=c.get("expanded_uncertainty", ""),
            )
            for c in entry["calibrations"]
        ]
        _tell(f"instrument/{row.code}", "instrument.loaded", now, row, *calibrations)


def load_tools(data: dict[str, Any], *, now: dt.datetime) -> None:
    """What holes are planned with, and what goes on a torque wrench."""
    rows = [Tool.objects.create(**entry) for entry in data["tools"]]
    _tell("shop", "tools.loaded", now, *rows)


def _tell(stream: str, kind: str, now: dt.datetime, *rows: models.Model) -> None:
    append(stream=stream, kind=kind, data={}, now=now, rows=rows)
