"""Which rows of evidence belong to one job: whatever refers to it, or to something that does."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from django.db import models
from django.utils.translation import gettext as _

from jobs.models import Checkpoint, Job, ProcedureRevision
from parts.models import KitRevision
from shop.events import row_name
from shop.models import Person

# Which of the shop's own rows those of a job refer to, and by what one finds them in another shop.
NAMED_BY: Mapping[str, str] = {
    "jobs.checkpoint": "code",
    "jobs.operation": "code",
    "jobs.procedurerevision": "revision",
    "shop.bay": "number",
    "shop.instrument": "code",
    "shop.tablet": "name",
    "parts.kitline": "part_number",
    "parts.kitorder": "number",
    "parts.kitrevision": "revision",
}
BELONGS_TO: Mapping[str, str] = {
    "jobs.checkpoint": "operation__revision__procedure",
    "jobs.operation": "revision__procedure",
    "jobs.procedurerevision": "procedure",
    "parts.kitrevision": "kit",
}


def rows_of(job: Job) -> list[models.Model]:
    """Every row of evidence that came of the job, by model and key. A fixed number of queries."""
    found: dict[str, models.Model] = {}
    ahead: list[list[models.Model]] = [[job]]
    while ahead:
        parents = ahead.pop()
        for fresh in _next(parents, found):
            ahead.append(fresh)
    return sorted(found.values(), key=lambda row: (row._meta.label_lower, _place(row)))


def _next(parents: list[models.Model], found: dict[str, models.Model]) -> Iterator[list[models.Model]]:
    for relation in parents[0]._meta.related_objects:
        model: type[models.Model] = relation.related_model
        if not getattr(model, "is_evidence", False):
            continue
        rows = model._base_manager.filter(**{f"{relation.field.name}__in": [row.pk for row in parents]})
        fresh = {row_name(row): row for row in rows}
        fresh = {name: row for name, row in fresh.items() if name not in found}
        found.update(fresh)
        if fresh:
            yield list(fresh.values())


def _place(row: models.Model) -> tuple[int, str]:
    return (row.pk, "") if isinstance(row.pk, int) else (0, str(row.pk))


def people_of(rows: Iterable[models.Model]) -> set[int]:
    """Whoever a row names: who read, signed, took, decided."""
    return {key for row in rows for key in _keys(row, Person)}


def named_by(rows: Iterable[models.Model]) -> dict[str, str]:
    """What of the shop's own rows refer to by key, in words by which a person finds it."""
    keys: dict[type[models.Model], set[Any]] = {}
    for row in rows:
        for field in row._meta.concrete_fields:
            model = field.related_model
            if isinstance(model, type) and model._meta.label_lower in NAMED_BY:
                keys.setdefault(model, set()).add(getattr(row, field.attname))
    named = {}
    for model, wanted in keys.items():
        for row in _with_what_it_belongs_to(model).filter(pk__in=wanted - {None}):
            named[row_name(row)] = _words(row)
    return named


def _with_what_it_belongs_to(model: type[models.Model]) -> models.QuerySet[Any]:
    path = BELONGS_TO.get(model._meta.label_lower)
    return model._base_manager.select_related(path) if path else model._base_manager.all()


def _words(row: Any) -> str:
    name = str(getattr(row, NAMED_BY[row._meta.label_lower]))
    if isinstance(row, ProcedureRevision | KitRevision):
        return str(row)
    revision = row.operation.revision if isinstance(row, Checkpoint) else getattr(row, "revision", None)
    return _("%(name)s of %(revision)s") % {"name": name, "revision": revision} if revision else name


def _keys(row: models.Model, model: type[models.Model]) -> Iterator[Any]:
    for field in row._meta.concrete_fields:
        if field.related_model is model and getattr(row, field.attname) is not None:
            yield getattr(row, field.attname)
