"""Every page of the site, as addresses in the demo; a page that is new in the addresses is missed here."""

from collections.abc import Iterator
from typing import Any
from urllib.parse import urlencode
from uuid import UUID

from django.urls import URLPattern, URLResolver, get_resolver, reverse

from tests.browser.site import Site

# Addresses that show no page of their own, each with the reason.
NO_PAGE = {
    "documents:document_file": "a PDF",
    "jobs:customer_link": "the customer's own page; seen in test_day_of_customer",
    "jobs:customer_link_answer": "takes the customer's answer",
    "jobs:customer_link_photo": "a picture",
    "jobs:deposit_ask": "issues the invoice for a deposit",
    "jobs:data_file": "a file",
    "jobs:job_file": "a file",
    "jobs:desk_entry": "takes entries; answers with a page only to a wrong one",
    "jobs:job_photo": "a picture",
    "jobs:plan_pin_remove": "takes a pin away",
    "jobs:plan_search": "asks for a search",
    "jobs:plan_so_far": "a search that goes on; seen in test_so_far",
    "jobs:link_revoke": "takes a link back",
    "jobs:procedure_export": "a file",
    "jobs:qr": "leads on to an operation",
    "jobs:tablet_entry": "takes entries",
    "jobs:tablet_thresholds": "limits as data",
    "jobs:tablet_turn": "takes a name and a PIN",
    "jobs:tablet_turn_end": "ends a turn",
    "parts:count_verdict": "a cell of the counting sheet",
    "parts:damage_photo": "a picture",
    "parts:damage_photograph": "takes photos; answers with the page of the damage to wrong ones",
    "parts:kit_export": "a file",
    "parts:missing_parts_export": "a file",
    "parts:order_export": "a file",
    "parts:slip_export": "a file",
    "shop:first_manager": "is there while nobody is; its whole way is in test_first_day",
    "shop:home": "leads on to each person's first page",
    "shop:sign_out": "leads to signing in",
    "jobs:car_assign": "puts somebody onto a car; answers wrong input with the page of its place",
    "jobs:car_take_off": "takes somebody off a car",
    "shop:calibration_add": "takes a calibration; answers a wrong one with the page of the instrument",
    "shop:closure_add": "takes days closed; answers wrong ones with the page of the bay",
    "shop:closure_remove": "takes days closed back",
    "shop:absence_add": "takes days away; answers wrong ones with the page of the person",
    "shop:absence_remove": "takes days away back",
    "shop:certificate_add": "takes a certificate; answers a wrong one with the page of the person",
    "shop:own_secret": "is opened by an address that the manager starts; seen in the manager's day",
    "shop:person_secret": "shows an address that it has just made",
    "shop:tablet_code": "shows a code that it has just made",
    "shop:tablet_redeem": "makes a device a tablet; answers a wrong code with the page it was typed at",
}
# Pages of a bay's tablet; nobody sees them at a desk.
AT_A_TABLET = frozenset(
    {
        "jobs:tablet",
        "jobs:tablet_extra_work",
        "jobs:tablet_operation",
        "jobs:tablet_pause",
        "jobs:tablet_problem",
        "jobs:tablet_release",
        "jobs:tablet_stop",
        "jobs:tablet_welds",
    }
)
# The short route and its kit are brought in as drafts beside the demo, so that they can be released.
WRITTEN = ("FC-210", "C")
WRITTEN_KIT = ("KIT-210", "C")
DRAFT_KIT, DRAFT_PROCEDURE = ("KIT-9", "A"), ("P-9", "A")


PROCEDURES: dict[str, list[Any]] = {
    "jobs:procedure_new": [],
    "jobs:procedure_draft_begin": [("FC-210", "B")],
    "jobs:procedure_draft": [WRITTEN],
    "jobs:procedure_draft_part": [
        (*WRITTEN, "head"),
        (*WRITTEN, "C10"),
        (*WRITTEN, "A10.1"),
        (*WRITTEN, "layout/views/RO"),
        (*WRITTEN, "layout/views/RO/marks/H1"),
        (*WRITTEN, "layout/weld_map"),
        (*WRITTEN, "layout/weld_map/welds/LP1"),
        (*WRITTEN, "layout/cradle"),
        (*WRITTEN, "D20/holes/1"),
        (*WRITTEN, "handover"),
    ],
    "jobs:procedure_draft_text": [WRITTEN],
    "jobs:job_revision": [(1001,)],
    "jobs:procedure": [("FC-210", "B"), DRAFT_PROCEDURE],
    "jobs:procedure_bring_in": [],
    "jobs:procedure_compare": [("FC-210",), DRAFT_PROCEDURE[:1]],
    "jobs:procedure_floor": [("FC-210",), DRAFT_PROCEDURE[:1]],
    "jobs:procedure_list": [],
    "jobs:procedure_release": [DRAFT_PROCEDURE],
}
PAPERS_AND_DATA: dict[str, list[Any]] = {
    "jobs:data": [],
    "jobs:plan": [(), "?view=month"],
    "jobs:plan_basis": [],
    "jobs:plan_days": [],
    "jobs:plan_load": [],
    "jobs:plan_earliest": [],
    "jobs:plan_start": [(1004,)],
    "jobs:plan_pins": [(), "?job=1004"],
    "jobs:plan_proposal": [],
    "jobs:data_in": [("customers",), ("jobs",)],
    "jobs:procedure_judging": [("FC-210", "B", "D20.2")],
    "jobs:job_release": [(1001,), (1002,), (1006,)],
    "jobs:job_papers": [(1001,), (1002,), (1006,)],
    "jobs:sheet_typing": [(1001,), (1006,)],
}


def names() -> set[str]:
    """Every name in the site's addresses, those of the administration pages left out."""
    return {name for name in _names(get_resolver(), "") if not name.startswith("admin:")}


def _names(resolver: URLResolver, space: str) -> Iterator[str]:
    for entry in resolver.url_patterns:
        if isinstance(entry, URLPattern):
            yield f"{space}{entry.name}"
        else:
            yield from _names(entry, f"{space}{entry.namespace}:" if entry.namespace else space)


def desk_pages(site: Site) -> list[str]:
    """The address of every page at a desk, in more than one state where it has them."""
    return [address for name, found in _desk(site).items() for address in _addresses(name, found)]


def desk_names(site: Site) -> set[str]:
    return set(_desk(site))


def _addresses(name: str, found: list[Any]) -> Iterator[str]:
    for values in found or [()]:
        if isinstance(values, str):
            yield reverse(name) + values
        elif isinstance(values, dict):
            more = urlencode(values["query"])
            yield f"{reverse(name, args=values['args'])}?{more}"
        else:
            yield reverse(name, args=values)


def _desk(site: Site) -> dict[str, list[Any]]:
    papers = [(UUID(found),) for (found,) in site.rows("SELECT id FROM documents_document")]
    traveler = "?" + urlencode({"kind": "traveler", "stream": "job/1001"})
    return {
        "documents:document_ask": [traveler],
        "documents:document_status": papers,
        "jobs:estimate_draft": [(1001,)],
        "jobs:car_place": [(1001,), (1002,)],
        "jobs:floor": [],
        "jobs:week": [(), "?days=5"],
        "jobs:invoice_credit": site.rows(
            "SELECT j.number, i.number FROM jobs_invoice i JOIN jobs_job j ON j.id = i.job_id LIMIT 1"
        ),
        "jobs:invoice_issue": [(1001,)],
        "jobs:job": [(1001,), (1002,), (1003,), (1004,), (1005,), (1006,)],
        "jobs:job_list": [(), "?" + urlencode({"q": "nothing like it"})],
        "jobs:job_open": [],
        "jobs:job_operation": [
            (1001, "A20"),
            (1001, "C20"),
            (1002, "W30"),
            (1003, "C20"),
            (1004, "T40"),
            (1005, "L20"),
        ],
        "jobs:link_make": [(1001,)],
        "jobs:lots": [(), "?" + urlencode({"q": "L-"})],
        "jobs:money": [(1001,), (1002,)],
        "jobs:trace": [(), "?instrument=TW-1&tester_set=65&tester_read=50"],
        "jobs:witness_queue": [],
        **PAPERS_AND_DATA,
        **PROCEDURES,
        **_parts(site),
        **_service(site),
        **_ground(site),
    }


def _ground(site: Site) -> dict[str, list[Any]]:
    return {
        "shop:bench": [],
        "shop:bench_sheet": [("clamp",), {"args": ("clearance",), "query": {"thread": "M12x9"}}],
        "shop:bay": [(1,)],
        "shop:bay_add": [],
        "shop:bay_list": [],
        "shop:instrument": [("TW-1",)],
        "shop:instrument_add": [],
        "shop:instrument_list": [],
        "shop:own_page": [],
        "shop:tool": [("HS-1",)],
        "shop:tool_add": [],
        "shop:tool_list": [],
        "shop:shop": [],
        "shop:shop_settings": [],
        "shop:certificate": site.rows("SELECT person_id, id FROM shop_certificate LIMIT 1"),
        "shop:person": site.rows("SELECT id FROM shop_person WHERE username IN ('keel', 'tackwell')"),
        "shop:person_add": [],
        "shop:person_leave": site.rows("SELECT id FROM shop_person WHERE username = 'tackwell'"),
        "shop:person_list": [],
        "shop:tablet_list": [],
        "shop:tablet_revoke": site.rows("SELECT id FROM shop_tablet WHERE revoked_at IS NULL LIMIT 1"),
    }


KIT_PAGES: dict[str, list[Any]] = {
    "parts:kit": [("KIT-210", "B"), DRAFT_KIT],
    "parts:kit_bring_in": [],
    "parts:kit_compare": [("KIT-210",), DRAFT_KIT[:1]],
    "parts:kit_floor": [("KIT-210",), DRAFT_KIT[:1]],
    "parts:kit_new": [],
    "parts:kit_draft_begin": [("KIT-210", "B")],
    "parts:kit_draft": [WRITTEN_KIT],
    "parts:kit_draft_line": [(*WRITTEN_KIT, 1)],
    "parts:kit_draft_text": [WRITTEN_KIT],
    "parts:order_revision": [("K-0001",)],
    "parts:kit_list": [],
    "parts:kit_release": [DRAFT_KIT],
}


def _parts(site: Site) -> dict[str, list[Any]]:
    short = site.one(
        "SELECT l.id FROM parts_kitline l JOIN parts_kitrevision r ON r.id = l.revision_id "
        "JOIN parts_kitdefinition k ON k.id = r.kit_id "
        "WHERE k.code = 'KIT-210' AND l.part_number = 'NS210-004'"
    )
    receipts = site.rows(
        "SELECT o.number, r.id FROM parts_receipt r JOIN parts_kitorder o ON o.id = r.order_id"
    )
    return {
        "parts:expect": [("K-0003", short)],
        **KIT_PAGES,
        "parts:local_purchases": [("K-0003", short)],
        "parts:missing_parts": [(), "?" + urlencode({"q": "nothing like it"})],
        "parts:order": [("K-0001",), ("K-0003",)],
        "parts:order_list": [(), "?" + urlencode({"q": "nothing like it"})],
        "parts:order_open": [],
        "parts:receipt": receipts,
        "parts:damage": receipts,
        "parts:carrier_told": receipts,
        "parts:recounts": site.rows(
            "SELECT o.number, r.id, min(l.id) FROM parts_receiptline l "
            "JOIN parts_receipt r ON r.id = l.receipt_id "
            "JOIN parts_kitorder o ON o.id = r.order_id GROUP BY r.id LIMIT 2"
        ),
        "parts:returns": [("K-0003",)],
        "parts:receive": [("K-0003",), {"args": ("K-0003",), "query": {"slip": "PS-4471"}}],
        "parts:slip_bring_in": [],
    }


def _service(site: Site) -> dict[str, list[Any]]:
    customer = site.rows("SELECT id FROM shop_customer ORDER BY id LIMIT 1")
    car = site.rows("SELECT id FROM shop_vehicle ORDER BY id LIMIT 1")
    return {
        "jobs:condition": [(1001,), {"args": (1002,), "query": {"view": "left", "place": "C2"}}],
        "jobs:customer": customer,
        "jobs:customer_edit": customer,
        "jobs:customer_erase": customer,
        "jobs:customer_list": [(), "?" + urlencode({"q": "nothing like it"}), "?show=doubles"],
        "jobs:customer_merge": site.rows("SELECT min(id), max(id) FROM shop_customer"),
        "jobs:vehicle": car,
        "jobs:vehicle_edit": car,
        "jobs:vehicle_merge": site.rows("SELECT min(id), max(id) FROM shop_vehicle"),
    }
