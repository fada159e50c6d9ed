"""What is odd in a route though it may be meant so."""

from collections.abc import Iterator
from itertools import pairwise

from django.utils.translation import gettext as _

from jobs.models.procedures import Stage
from jobs.procedures.file.data import ProcedureData
from jobs.procedures.file.remarks import Remark

ORDER = {stage: number for number, stage in enumerate(Stage.values)}


def route_remarks(data: ProcedureData) -> Iterator[Remark]:
    """Operations whose stage comes before the stage of the operation above them."""
    staged = [operation for operation in data.operations if operation.stage]
    for above, operation in pairwise(staged):
        if ORDER[operation.stage] < ORDER[above.stage]:
            message = _("belongs to %(stage)s but comes after %(above)s of %(later)s")
            parts = {
                "stage": Stage(operation.stage).label,
                "above": above.code,
                "later": Stage(above.stage).label,
            }
            yield Remark(operation.line_of("stage"), f"{operation.code} stage", message % parts)
