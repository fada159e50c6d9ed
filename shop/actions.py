"""Who may do what: every address of the site, its methods, and who may use each. The guards read it.

Whoever is signed in at a desk counts by role. A tablet of a bay, the holder of a customer's private link and
somebody whom nobody knows count by themselves. What is not in the table nobody may do.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from shop.models import Role

Who = frozenset[str]

EVERYONE: Who = frozenset(Role.values)
MANAGER: Who = frozenset({Role.MANAGER})
LEAD: Who = frozenset({Role.LEAD})
LEADS: Who = frozenset({Role.LEAD, Role.MANAGER})
FRONT: Who = frozenset({Role.SERVICE_WRITER, Role.MANAGER})
OFFICE: Who = frozenset({Role.SERVICE_WRITER, Role.LEAD, Role.MANAGER})
COUNTER: Who = frozenset({Role.PARTS_CLERK, Role.MANAGER})
TABLET: Who = frozenset({"tablet"})
LINK: Who = frozenset({"link"})
ANYBODY: Who = EVERYONE | TABLET | LINK | {"nobody"}

# Who has turns at a tablet; a service writer books the car in where it stands.
TURN_ROLES: Who = frozenset({Role.FABRICATOR, Role.LEAD, Role.SERVICE_WRITER})


class Sees(StrEnum):
    """Of which things an address shows or changes one."""

    ALL = "whatever the shop has"
    ITS_BAY = "a car that stands in the tablet's bay, with its papers"
    ITS_JOB = "the job of the link"
    OWN = "what is the person's own"


@dataclass(frozen=True)
class Action:
    """The methods of one address, each with those who may use it; `sees` narrows it to some objects."""

    methods: Mapping[str, Who]
    sees: Sees = Sees.ALL

    def who_may(self, method: str) -> Who | None:
        """Who may use the address so; None where there is no such method. What may be got has a head."""
        return self.methods.get("GET" if method == "HEAD" else method)

    @property
    def everybody(self) -> Who:
        return frozenset().union(*self.methods.values())


def reads(who: Who, sees: Sees = Sees.ALL) -> Action:
    """A page that is only looked at."""
    return Action({"GET": who}, sees)


def fills(who: Who, sees: Sees = Sees.ALL) -> Action:
    """A page with a form that it takes itself."""
    return Action({"GET": who, "POST": who}, sees)


def takes(who: Who, sees: Sees = Sees.ALL) -> Action:
    """What only takes something in."""
    return Action({"POST": who}, sees)


# The administration pages are for the manager alone; their own rows say what may be changed there.
ADMIN = "admin"

ACTIONS: Mapping[str, Action] = {
    # Papers
    "documents:document_ask": fills(EVERYONE),
    "documents:document_status": reads(EVERYONE | TABLET, Sees.ITS_BAY),
    "documents:document_file": reads(EVERYONE | TABLET, Sees.ITS_BAY),
    # The floor and the jobs
    "jobs:floor": reads(EVERYONE),
    "jobs:week": reads(OFFICE),
    "jobs:car_place": reads(LEADS),
    "jobs:car_assign": takes(LEADS),
    "jobs:car_take_off": takes(LEADS),
    "jobs:trace": reads(EVERYONE),
    "jobs:lots": reads(EVERYONE),
    "jobs:witness_queue": reads(EVERYONE),
    "jobs:qr": reads(ANYBODY),
    "jobs:job_list": reads(EVERYONE),
    "jobs:job_open": fills(FRONT),
    "jobs:job": reads(EVERYONE),
    "jobs:desk_entry": takes(EVERYONE),
    "jobs:job_operation": reads(EVERYONE),
    "jobs:job_revision": reads(EVERYONE),
    # Customers, their cars, the condition in which a car came in
    "jobs:customer_list": reads(OFFICE),
    "jobs:customer": reads(OFFICE),
    "jobs:customer_edit": fills(FRONT),
    "jobs:customer_merge": fills(FRONT),
    "jobs:customer_erase": fills(FRONT),
    "jobs:vehicle": reads(OFFICE),
    "jobs:vehicle_edit": fills(FRONT),
    "jobs:vehicle_merge": fills(FRONT),
    "jobs:condition": reads(EVERYONE),
    "jobs:job_papers": reads(EVERYONE),
    "jobs:job_release": reads(EVERYONE),
    "jobs:sheet_typing": fills(LEADS),
    # Money and the customer
    "jobs:money": reads(OFFICE),
    "jobs:estimate_draft": fills(FRONT),
    "jobs:deposit_ask": takes(FRONT),
    "jobs:invoice_issue": fills(FRONT),
    "jobs:invoice_credit": fills(FRONT),
    "jobs:job_photo": reads(EVERYONE),
    "jobs:link_make": fills(OFFICE),
    "jobs:link_revoke": takes(OFFICE),
    "jobs:customer_link": reads(LINK, Sees.ITS_JOB),
    "jobs:customer_link_answer": takes(LINK, Sees.ITS_JOB),
    "jobs:customer_link_photo": reads(LINK, Sees.ITS_JOB),
    # The plan
    "jobs:plan": reads(EVERYONE),
    "jobs:plan_proposal": Action({"GET": OFFICE, "POST": MANAGER}),
    "jobs:plan_search": takes(MANAGER),
    "jobs:plan_so_far": Action({"GET": OFFICE, "POST": MANAGER}),
    "jobs:plan_pins": Action({"GET": OFFICE, "POST": MANAGER}),
    "jobs:plan_pin_remove": takes(MANAGER),
    "jobs:plan_basis": fills(MANAGER),
    "jobs:plan_days": reads(EVERYONE),
    "jobs:plan_load": reads(OFFICE),
    "jobs:plan_earliest": fills(OFFICE),
    "jobs:plan_start": Action({"GET": OFFICE, "POST": OFFICE}),
    # Procedures
    "jobs:procedure_list": reads(EVERYONE),
    "jobs:procedure": reads(EVERYONE),
    "jobs:procedure_compare": reads(EVERYONE),
    "jobs:procedure_floor": reads(EVERYONE),
    "jobs:procedure_export": reads(EVERYONE),
    "jobs:procedure_bring_in": fills(LEADS),
    "jobs:procedure_judging": Action({"GET": EVERYONE, "POST": LEAD}),
    "jobs:procedure_release": fills(LEADS),
    "jobs:procedure_new": fills(LEADS),
    "jobs:procedure_draft_begin": fills(LEADS),
    "jobs:procedure_draft": fills(LEADS),
    "jobs:procedure_draft_part": fills(LEADS),
    "jobs:procedure_draft_text": fills(LEADS),
    # Data in and out
    "jobs:data": reads(MANAGER),
    "jobs:data_file": reads(MANAGER),
    "jobs:data_in": fills(MANAGER),
    "jobs:job_file": reads(OFFICE),
    # The tablet in the bay
    "jobs:tablet": reads(TABLET),
    "jobs:tablet_turn": takes(TABLET),
    "jobs:tablet_turn_end": takes(TABLET),
    "jobs:tablet_entry": takes(TABLET, Sees.ITS_BAY),
    "jobs:tablet_operation": reads(TABLET, Sees.ITS_BAY),
    "jobs:tablet_thresholds": reads(TABLET, Sees.ITS_BAY),
    "jobs:tablet_release": fills(TABLET, Sees.ITS_BAY),
    "jobs:tablet_problem": reads(TABLET, Sees.ITS_BAY),
    "jobs:tablet_stop": reads(TABLET),
    "jobs:tablet_extra_work": reads(TABLET, Sees.ITS_BAY),
    "jobs:tablet_pause": reads(TABLET, Sees.ITS_BAY),
    "jobs:tablet_welds": reads(TABLET, Sees.ITS_BAY),
    # The parts counter
    "parts:order_list": reads(EVERYONE),
    "parts:order_open": fills(COUNTER),
    "parts:order": reads(EVERYONE),
    "parts:order_export": reads(EVERYONE),
    "parts:receive": fills(COUNTER),
    "parts:count_verdict": reads(COUNTER),
    "parts:receipt": reads(EVERYONE),
    "parts:recounts": fills(COUNTER),
    "parts:damage": reads(EVERYONE),
    "parts:damage_photograph": takes(COUNTER),
    "parts:carrier_told": fills(COUNTER),
    "parts:damage_photo": reads(EVERYONE),
    "parts:expect": fills(COUNTER),
    "parts:local_purchases": fills(COUNTER),
    "parts:returns": fills(COUNTER),
    "parts:missing_parts": reads(EVERYONE),
    "parts:missing_parts_export": reads(EVERYONE),
    "parts:slip_bring_in": fills(COUNTER),
    "parts:slip_export": reads(EVERYONE),
    "parts:kit_list": reads(EVERYONE),
    "parts:kit": reads(EVERYONE),
    "parts:kit_export": reads(EVERYONE),
    "parts:kit_bring_in": fills(COUNTER),
    "parts:kit_release": fills(COUNTER | LEADS),
    "parts:kit_compare": reads(EVERYONE),
    "parts:kit_floor": reads(EVERYONE),
    "parts:kit_new": fills(COUNTER | LEADS),
    "parts:kit_draft_begin": fills(COUNTER | LEADS),
    "parts:kit_draft": fills(COUNTER | LEADS),
    "parts:kit_draft_line": fills(COUNTER | LEADS),
    "parts:kit_draft_text": fills(COUNTER | LEADS),
    "parts:order_revision": Action({"GET": EVERYONE, "POST": LEADS}),
    # The shop itself
    "shop:home": reads(EVERYONE),
    "shop:first_manager": fills(ANYBODY),
    "shop:sign_in": fills(ANYBODY),
    "shop:sign_out": takes(ANYBODY),
    "shop:bench": reads(EVERYONE),
    "shop:bench_sheet": reads(EVERYONE),
    "shop:shop": reads(MANAGER),
    "shop:shop_settings": fills(MANAGER),
    "shop:bay_list": reads(MANAGER),
    "shop:bay_add": fills(MANAGER),
    "shop:bay": fills(MANAGER),
    "shop:closure_add": takes(MANAGER),
    "shop:closure_remove": takes(MANAGER),
    "shop:instrument_list": reads(MANAGER),
    "shop:instrument_add": fills(MANAGER),
    "shop:instrument": fills(MANAGER),
    "shop:calibration_add": takes(MANAGER),
    "shop:tool_list": reads(MANAGER),
    "shop:tool_add": fills(MANAGER),
    "shop:tool": fills(MANAGER),
    "shop:person_list": reads(MANAGER),
    "shop:person_add": fills(MANAGER),
    "shop:person": fills(MANAGER),
    "shop:person_leave": fills(MANAGER),
    "shop:person_secret": takes(MANAGER),
    "shop:certificate_add": takes(MANAGER),
    "shop:certificate": fills(MANAGER),
    "shop:absence_add": takes(MANAGER),
    "shop:absence_remove": takes(MANAGER),
    "shop:own_page": fills(EVERYONE, Sees.OWN),
    "shop:own_secret": fills(ANYBODY, Sees.OWN),
    "shop:tablet_list": reads(MANAGER),
    "shop:tablet_code": takes(MANAGER),
    "shop:tablet_redeem": takes(ANYBODY),
    "shop:tablet_revoke": fills(MANAGER),
}


def roles_of(name: str) -> tuple[str, ...]:
    """The roles that use an address in any way, in the order of the shop's own list."""
    return tuple(role for role in Role.values if role in ACTIONS[name].everybody)


def may(role: str, name: str, method: str = "GET") -> bool:
    """Whether people of that role may use an address so; what a page offers asks this."""
    return role in (ACTIONS[name].who_may(method) or ())


def role_words(roles: Iterable[str]) -> str:
    return ", ".join(str(role.label) for role in Role if role in roles)
