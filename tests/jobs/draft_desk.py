"""A lead's browser at a draft: its parts filled in, its buttons pressed, as a browser sends it."""

from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from jobs.models import DraftVersion
from jobs.procedures.draft_fields import PartForm
from shop.models import Role
from tests.jobs.procedure_desk import desk_of, kept
from tests.jobs.procedure_texts import PROCEDURE

DRAFT = ("FC-T1", "B")


def begun(content: bytes = PROCEDURE, code: str = "FC-T1") -> Client:
    """A lead's browser, with a draft B begun from A."""
    kept(content, release=True)
    desk = desk_of(Role.LEAD)
    answer = desk.post(reverse("jobs:procedure_draft_begin", args=[code, "A"]), {"revision": "b"})
    assert answer.status_code == 302
    return desk


def address(part: str = "") -> str:
    draft = DraftVersion.objects.order_by("-pk")[0].draft
    args = [draft.procedure.code, draft.revision, *([part] if part else [])]
    return reverse("jobs:procedure_draft_part" if part else "jobs:procedure_draft", args=args)


def last() -> DraftVersion:
    return DraftVersion.objects.order_by("-number")[0]


def shown(form: PartForm) -> dict[str, object]:
    """What the fields of a form hold, as a browser sends it back unchanged."""
    held = {name: form[name].initial for name in form.fields}
    return {name: value or "" for name, value in held.items() if value != []}


def typed(desk: Client, part: str, **changed: object) -> dict[str, object]:
    """What the form of a part holds with some fields changed: `limit="…"`, `datums_1_at="…"`."""
    page = desk.get(address(part)).context["page"]
    given = {f"f_{_named(key)}": value for key, value in changed.items()}
    assert set(given) <= set(page.form.fields), sorted(page.form.fields)
    return {**shown(page.form), "seen": page.seen, **given}


def _named(key: str) -> str:
    """The name of a field: of a row where a number stands in the middle."""
    parts = key.rstrip("_").split("_")
    at = next((n for n, part in enumerate(parts) if part.isdecimal()), None)
    if at is None:
        return "_".join(parts)
    return f"{'_'.join(parts[:at])}-{parts[at]}-{'_'.join(parts[at + 1 :])}"


def put(desk: Client, part: str, *, button: str = "keep", kind: str = "", **changed: object) -> HttpResponse:
    data = {**typed(desk, part, **changed), "action": button, "kind": kind}
    return desk.post(address(part), data, follow=True)


def act(desk: Client, action: str, **more: object) -> HttpResponse:
    data = {"action": action, "seen": last().number, **more}
    return desk.post(address(), data, follow=True)
