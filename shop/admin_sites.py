"""How the administration pages show a row: evidence is read there, the shop's own is changed."""

from typing import Any

from django.contrib import admin
from django.db import models
from django.http import HttpRequest
from django.utils import timezone

from shop.keeping import keep
from shop.models import Person


class ReadOnlyAdmin(admin.ModelAdmin[models.Model]):
    """Evidence: looked at, never added to, changed or taken away from here."""

    actions = None

    def has_add_permission(self, request: HttpRequest) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False


class KeptAdmin(admin.ModelAdmin[Any]):
    """The shop's own rows: changed with an event for each change, never deleted."""

    actions = None

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    def save_model(self, request: HttpRequest, obj: models.Model, form: Any, change: bool) -> None:
        assert isinstance(request.user, Person)
        keep(obj, changed=form.changed_data, added=not change, by=request.user, now=timezone.now())


def register_evidence(model: type[models.Model], *columns: str, find: tuple[str, ...] = ()) -> None:
    """Show a kind of evidence, with these columns in its list."""
    attributes = {
        "list_display": columns or ("__str__",),
        "search_fields": find,
        "show_full_result_count": False,
    }
    admin.site.register(model, type(f"{model.__name__}Admin", (ReadOnlyAdmin,), attributes))
