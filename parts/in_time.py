"""Whether what is missing comes in time: on the day that needs it a part is there already, not on its way."""

import datetime as dt

from django.utils.translation import gettext as _
from django.utils.translation import ngettext


def comes_too_late(eta: dt.date | None, needed_on: dt.date | None) -> bool:
    """Whether a day said for a part, or none, is not before the day that needs it."""
    return needed_on is not None and (eta is None or eta >= needed_on)


def why_too_late(eta: dt.date | None, needed_on: dt.date | None) -> str:
    """Why it is too late, as part of a sentence; "" where it is in time."""
    if needed_on is None or not comes_too_late(eta, needed_on):
        return ""
    if eta is None:
        return _("nobody has said when")
    days = (eta - needed_on).days
    if days:
        return ngettext("%(days)d day too late", "%(days)d days too late", days) % {"days": days}
    return _("comes on the very day it is needed, which is too late: it has to be here the day before")
