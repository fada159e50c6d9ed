"""A kit list written from nothing: the kit and its first part; the others follow in its draft."""

import datetime as dt
from collections.abc import Mapping

from django.db import transaction
from django.utils.translation import gettext as _

from parts.kit_drafting import begin_kit_draft
from parts.kit_files import bring_in_kit
from parts.kit_sheet import EVERY_COLUMN
from parts.models import KitDefinition, KitDraft
from shop.csv_files import write_sheet
from shop.file_errors import FileError, FileErrors
from shop.models import Person

FIRST_REVISION = "A"


def begin_kit(cells: Mapping[str, str], *, by: Person, now: dt.datetime) -> KitDraft:
    """Begin to write the list of a kit that is not here yet; its draft.

    Args:
        cells: those of the first row of its file; the revision is given by us.

    Raises:
        FileErrors: by the names of the columns, what is wrong with them.
    """
    if KitDefinition.objects.filter(code__iexact=cells["kit"]).exists():
        message = _("%(code)s is here already; write a new revision of it, or take another code")
        raise FileErrors([FileError(None, "kit", message % {"code": cells["kit"]})])
    row = {**cells, "revision": FIRST_REVISION}
    text = write_sheet(EVERY_COLUMN, [[row.get(name, "") for name in EVERY_COLUMN]])
    with transaction.atomic():
        brought = bring_in_kit(text, by=by, now=now, release=False)
        return begin_kit_draft(brought, revision=FIRST_REVISION, by=by, now=now)
