"""The walk round a car: marks on its outline, struck out again, and what was read."""

from typing import Any

from django.db.models import Max
from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.car_outline import WHOLE, middle_of
from jobs.condition import ARCHES
from jobs.entry_kinds import who_may_enter
from jobs.models import ConditionKind, ConditionMark, ConditionReport, ConditionView
from jobs.recording.authority import photo_on_job
from jobs.recording.work import Work
from shop.engineering.quantities import QuantityError, UnitMissingError, parse_quantity
from shop.engineering.quantities.measures import Dimension
from shop.entries import Refused

WALKING_ROLES = who_may_enter("condition_mark")
FUEL = ("empty", "1/4", "1/2", "3/4", "full")
LOWEST_MM, HIGHEST_MM = 50, 1500
TEXTS = {"odometer": 20, "belongings": 300, "note": 1000}


def condition_mark(work: Work) -> dict[str, Any]:
    """Put a numbered mark at a place on the car's outline."""
    errors: dict[str, str] = {}
    view, kind = str(work.payload.get("view", "")), str(work.payload.get("kind", ""))
    if view not in ConditionView.values:
        errors["view"] = _("Say from which side it is seen")
    place = _place(work)
    if place is None:
        errors["place"] = _("Touch the place on the drawing, or choose it from the list")
    if kind not in ConditionKind.values:
        errors["kind"] = _("Say what it is")
    note = _text(work, "note", 200, errors)
    if kind == ConditionKind.OTHER and not note:
        errors["note"] = _("Say what was seen there")
    photo = str(work.payload.get("photo", "")).strip()
    if errors or place is None:
        raise BadInput(errors)
    top = ConditionMark.objects.filter(job=work.job).aggregate(top=Max("number"))["top"]
    made = ConditionMark.objects.create(
        job=work.job,
        number=(top or 0) + 1,
        view=view,
        x_permille=place[0],
        y_permille=place[1],
        kind=kind,
        note=note,
        photo=photo_on_job(work, photo, "photo") if photo else None,
        person=work.signer,
        seen_at=work.now,
        entry=work.entry,
    )
    work.tell("condition.marked", {"mark": made.number, "view": view, "kind": kind}, made)
    return {"mark": made.number}


def condition_strike(work: Work) -> dict[str, Any]:
    """Strike a mark out, with the reason; it stays readable."""
    key = str(work.payload.get("mark", ""))
    number = int(key) if key.isascii() and key.isdecimal() and len(key) < 9 else 0
    found = ConditionMark.objects.filter(job=work.job, number=number).first()
    if found is None:
        raise Refused(_("There is no such mark on this car"))
    if found.struck_at is not None:
        raise Refused(_("Mark %(number)d is struck out already") % {"number": number})
    found.struck_reason = work.text("reason", what=_("Say why it is struck out"), most=200)
    found.struck_at = work.now
    found.save(update_fields=["struck_at", "struck_reason"])
    work.tell("condition.struck", {"mark": number}, found)
    return {"mark": number}


def condition_report(work: Work) -> dict[str, Any]:
    """Record odometer, tank, ride heights and what lies in the car. The newest report counts."""
    errors: dict[str, str] = {}
    values = {name: _text(work, name, most, errors) for name, most in TEXTS.items()}
    values |= {name: _height(work, name, errors) for name in ARCHES}
    values["fuel"] = str(work.payload.get("fuel", "")).strip()
    if values["fuel"] and values["fuel"] not in FUEL:
        errors["fuel"] = _("Choose how full the tank is")
    if values["odometer"] and not any(character.isdigit() for character in values["odometer"]):
        errors["odometer"] = _("Enter the figures of the odometer, such as 48 210 mi")
    if not errors and not any(values.values()):
        errors["odometer"] = _("Enter at least one thing that was read")
    if errors:
        raise BadInput(errors)
    made = ConditionReport.objects.create(
        job=work.job, person=work.signer, seen_at=work.now, entry=work.entry, **values
    )
    work.tell("condition.reported", {"report": made.pk}, made)
    return {"report": made.pk}


def _place(work: Work) -> tuple[int, int] | None:
    """Where the mark lies: as touched, else the middle of the place chosen from the list."""
    touched = [str(work.payload.get(name, "")).strip() for name in ("x_permille", "y_permille")]
    if not any(touched):
        return middle_of(str(work.payload.get("place", "")).strip().upper())
    if not all(text.isascii() and text.isdecimal() and len(text) <= 4 for text in touched):
        return None
    x, y = (int(text) for text in touched)
    return (x, y) if x <= WHOLE and y <= WHOLE else None


def _text(work: Work, field: str, most: int, errors: dict[str, str]) -> str:
    given = str(work.payload.get(field, "")).strip()
    if len(given) > most:
        errors[field] = _("%(given)d characters are too many; at most %(most)d") % {
            "given": len(given),
            "most": most,
        }
    return given


def _height(work: Work, field: str, errors: dict[str, str]) -> str:
    """A ride height as written, its unit beside it; empty where none was read."""
    given = str(work.payload.get(field, "")).strip()
    if not given:
        return ""
    unit = "in" if work.record.settings.units == "inch" else "mm"
    try:
        quantity, text = parse_quantity(given, default_unit=unit), _with_unit(given, unit)
    except QuantityError as error:
        errors[field] = error.message
        return given
    if quantity.dimension != Dimension.LENGTH:
        errors[field] = _("A ride height is a length, such as 26 1/4 in or 667 mm")
    elif not LOWEST_MM <= quantity.to("mm").value <= HIGHEST_MM:
        errors[field] = _("No car stands so: a ride height lies between 2 in and 59 in. Read it again")
    elif len(text) > 30:
        errors[field] = _("Write it shorter, such as 26 1/4 in")
    return text


def _with_unit(given: str, unit: str) -> str:
    try:
        parse_quantity(given)
    except UnitMissingError:
        return f"{given} {unit}"
    return given
