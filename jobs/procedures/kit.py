"""What a procedure and the list of its kit say of each other."""

from collections.abc import Iterator

from django.utils.translation import gettext as _

from jobs.procedures.file import ProcedureData, Remark
from parts.models import KitRevision
from shop.revisions import RevisionState


def kit_remarks(data: ProcedureData) -> Iterator[Remark]:
    """A kit that is not known yet, and parts first needed at operations that the procedure does not have."""
    line = data.lines.get("kit")
    revision = _revision_in_use(data.kit)
    if revision is None:
        message = _("kit %(kit)s is not known yet; bring in its list before a job is opened")
        yield Remark(line, "procedure kit", message % {"kit": data.kit})
        return
    codes = {operation.code for operation in data.operations}
    message = _("%(kit)s: part %(part)s is first needed at %(operation)s, which this procedure does not have")
    for kit_line in revision.lines.order_by("position"):
        if kit_line.operation not in codes:
            parts = {"kit": revision, "part": kit_line.part_number, "operation": kit_line.operation}
            yield Remark(line, "procedure kit", message % parts)


def _revision_in_use(kit: str) -> KitRevision | None:
    """The released revision of a kit, or its newest draft."""
    revisions = KitRevision.objects.select_related("kit").filter(kit__code=kit)
    released = revisions.filter(state=RevisionState.RELEASED).first()
    return released or revisions.filter(state=RevisionState.DRAFT).order_by("-pk").first()
