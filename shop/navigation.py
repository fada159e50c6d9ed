"""Where each person can go from any page."""

from dataclasses import dataclass

from django.http import HttpRequest
from django.urls import NoReverseMatch, reverse
from django.utils.translation import gettext as _

from shop.actions import EVERYONE, LEADS, MANAGER, OFFICE


@dataclass(frozen=True)
class NavItem:
    """One way out of a page."""

    label: str
    url: str
    current: bool
    accesskey: str


# Named by URL, so that the ground floor links upstairs without importing from there.
PLACES: tuple[tuple[str, str, str, frozenset[str]], ...] = (
    ("jobs:floor", "Floor", "f", EVERYONE),
    ("jobs:week", "Week", "2", OFFICE),
    ("jobs:plan", "Plan", "6", EVERYONE),
    ("jobs:job_list", "Jobs", "j", EVERYONE),
    ("jobs:customer_list", "Customers", "3", OFFICE),
    ("jobs:witness_queue", "Witness", "w", LEADS),
    ("jobs:trace", "Trace", "e", LEADS),
    ("parts:order_list", "Kits", "k", EVERYONE),
    ("jobs:procedure_list", "Procedures", "p", EVERYONE),
    ("shop:bench", "Bench", "4", EVERYONE),
    ("shop:shop", "Shop", "5", MANAGER),
)


def navigation_for(request: HttpRequest) -> list[NavItem]:
    """The places that the person signed in at a desk may go to, in one order."""
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return []
    items = []
    for name, label, key, roles in PLACES:
        if user.role not in roles:
            continue
        try:
            url = reverse(name)
        except NoReverseMatch:
            continue
        items.append(NavItem(_(label), url, request.path.startswith(url), key))
    return items
