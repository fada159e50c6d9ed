"""Revisions: draft, released, superseded. What is released is never changed again."""

import re
from collections.abc import Callable
from typing import Any, TypeVar

from django.db import models
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

M = TypeVar("M", bound=models.Model)

# How a revision is named.
REVISION = re.compile(r"[A-Z0-9][A-Z0-9._-]{0,9}")


class RevisionState(models.TextChoices):
    DRAFT = "draft", gettext_lazy("draft")
    RELEASED = "released", gettext_lazy("released")
    SUPERSEDED = "superseded", gettext_lazy("superseded")


class FrozenRevisionError(RuntimeError):
    """Somebody tried to change a revision that was released."""


# A released revision is superseded one day; nothing else of it changes.
MAY_CHANGE = frozenset({"state"})


def _refuse_if_released(revision: Any) -> None:
    if revision.state != RevisionState.DRAFT:
        raise FrozenRevisionError(
            _("%(revision)s is released and is never changed; make a new revision") % {"revision": revision}
        )


def _revision_of(row: models.Model, path: str) -> Any:
    found: Any = row
    for name in path.split("."):
        found = getattr(found, name)
    return found


def frozen_when_released(path: str) -> Callable[[type[M]], type[M]]:
    """Make rows of a model refuse `save` and `delete` once the revision at `path` is released.

    `path` is dotted, such as `operation.revision`. Bulk writes pass by it; `verify_record` finds those.
    """

    def freeze(model: type[M]) -> type[M]:
        save, delete = model.save, model.delete

        def check(row: M) -> None:
            _refuse_if_released(_revision_of(row, path))

        def guarded_save(self: M, *args: Any, **kwargs: Any) -> None:
            check(self)
            save(self, *args, **kwargs)

        def guarded_delete(self: M, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
            check(self)
            return delete(self, *args, **kwargs)

        setattr(model, "save", guarded_save)  # noqa: B010
        setattr(model, "delete", guarded_delete)  # noqa: B010
        return model

    return freeze


def frozen_itself_when_released(model: type[M]) -> type[M]:
    """Make a revision refuse `save` and `delete` once it is released; only its state goes on."""
    save, delete = model.save, model.delete

    def check(row: M) -> None:
        stored = model._base_manager.filter(pk=row.pk).first() if row.pk else None
        if stored is not None:
            _refuse_if_released(stored)

    def guarded_save(self: M, *args: Any, **kwargs: Any) -> None:
        changed = kwargs.get("update_fields")
        goes_on = changed is not None and MAY_CHANGE.issuperset(changed)
        if not goes_on or getattr(self, "state", None) == RevisionState.DRAFT:
            check(self)
        save(self, *args, **kwargs)

    def guarded_delete(self: M, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        check(self)
        return delete(self, *args, **kwargs)

    setattr(model, "save", guarded_save)  # noqa: B010
    setattr(model, "delete", guarded_delete)  # noqa: B010
    return model
