"""The bolt of a joint in a file: its thread, grade and grip are known to the tables, or none is given."""

from django.utils.translation import gettext as _

from jobs.judging.questions import said
from jobs.procedures.file.fields import Fields
from shop.engineering.errors import QuantityError
from shop.engineering.joints.grades import strength_of
from shop.engineering.joints.threads import parse_thread
from shop.engineering.quantities.measures import Dimension
from shop.engineering.quantities.reader import parse_quantity

LONGEST = 30


def check_bolt(fields: Fields) -> None:
    """Add to the faults what is wrong with the bolt of a joint."""
    thread, grade, grip = (fields.text(key, longest=LONGEST) for key in ("thread", "grade", "grip"))
    if bool(thread) != bool(grade):
        given, missing = ("thread", "grade") if thread else ("grade", "thread")
        fields.fault(given, _("says nothing without “%(missing)s”") % {"missing": missing})
    if thread and grade:
        _check_strength(fields, thread, grade)
    if grip:
        _check_grip(fields, grip)


def _check_strength(fields: Fields, thread: str, grade: str) -> None:
    try:
        found = parse_thread(thread)
    except QuantityError as error:
        fields.fault("thread", said(error))
        return
    try:
        strength_of(grade, found)
    except QuantityError as error:
        fields.fault("grade", said(error))


def _check_grip(fields: Fields, grip: str) -> None:
    try:
        length = parse_quantity(grip)
    except QuantityError as error:
        fields.fault("grip", said(error))
        return
    if length.dimension is not Dimension.LENGTH or length.value <= 0:
        fields.fault("grip", _("is a thickness, such as 1 1/2 in"))
