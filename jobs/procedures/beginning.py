"""A procedure written from nothing: its head, and either one operation or the usual route without figures."""

import datetime as dt
from enum import StrEnum
from pathlib import Path
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from jobs.models import Procedure, ProcedureDraft
from jobs.procedures.bringing_in import bring_in_procedure
from jobs.procedures.draft_tree import text_of, tree_of
from jobs.procedures.drafting import begin_draft, change_draft
from jobs.procedures.file.reading import FORMAT
from shop.file_errors import FileError, FileErrors
from shop.models import Person

USUAL_ROUTE = Path(__file__).with_name("usual_route.yaml")
FIRST_REVISION = "A"


class Route(StrEnum):
    """What a draft begins with."""

    ONE = "one"
    USUAL = "usual"


def begin_procedure(
    *, code: str, name: str, kit: str, vehicle_family: str, route: Route, by: Person, now: dt.datetime
) -> ProcedureDraft:
    """Begin to write a procedure that is not here yet; its draft, to be filled in.

    Raises:
        FileErrors: by the names of the head's keys, what is wrong with them.
    """
    if Procedure.objects.filter(code=code).exists():
        message = _("%(code)s is here already; write a new revision of it, or take another code")
        raise FileErrors([FileError(None, "procedure code", message % {"code": code})])
    head = {"code": code, "name": name, "revision": FIRST_REVISION, "kit": kit}
    head["vehicle_family"] = vehicle_family
    first = {"code": "I10", "stage": "intake", "title": _("Book the car in"), "minutes": "30"}
    operation: dict[str, Any] = {**first, "skill": "service", "steps": [_("Look at the car as it came")]}
    tree: dict[str, Any] = {"format": FORMAT, "procedure": head, "operations": [operation]}
    with transaction.atomic():
        text = text_of(tree).encode()
        brought = bring_in_procedure(text, by=by, now=now, release=False)
        draft = begin_draft(brought.revision, revision=FIRST_REVISION, by=by, now=now)
        if route is Route.USUAL:
            tree["operations"] = tree_of(USUAL_ROUTE.read_text(encoding="utf-8"))["operations"]
            what = _("the usual route, its figures to be filled in")
            change_draft(draft, text_of(tree), seen=1, what=what, by=by, now=now)
    return draft
