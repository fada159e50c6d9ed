"""What stands against a car's going on and has no day of its own: the plan takes it as cleared in time."""

from collections.abc import Iterator, Mapping

from django.utils.translation import gettext as _

from jobs.models import Flag
from jobs.planning.plan import Fault
from jobs.plans.route import Route


def granted(route: Route) -> Iterator[Fault]:
    """The holds of one car, in words with the way out. No queries."""
    record = route.record
    number = str(record.job.number)
    for row in record.open_nonconformances:
        code = row.job_operation.operation.code
        what = _("nonconformance %(number)d is open; the time of its rework is not in the plan")
        where = _("Job %(number)s, %(code)s") % {"number": number, "code": code}
        yield Fault(where, what % {"number": row.number}, _("Decide about it"), number, code)
    cuts = [o for o in route.open if o.does(Flag.CUTS_STRUCTURE)]
    if cuts and not record.allows_cutting:
        what = _("the customer has not allowed the car to be cut; it is planned as if that came in time")
        way_out = _("Get it in writing before %(code)s") % {"code": cuts[0].code}
        yield Fault(_("Job %(number)s") % {"number": number}, what, way_out, number, cuts[0].code)
    for extra in record.extra_work_waiting:
        what = _("extra work X%(number)d waits for the customer and is not in the plan")
        way_out = _("Ask for the answer")
        yield Fault(
            _("Job %(number)s") % {"number": number}, what % {"number": extra.number}, way_out, number
        )


def lacking(route: Route, stage_features: Mapping[str, list[str]]) -> Iterator[Fault]:
    """What the bay has not that a car stands in and cannot leave before it is asked for. No queries."""
    bay = route.record.job.bay
    if bay is None or not route.holds_its_bay or not route.stays:
        return
    number = str(route.record.job.number)
    for operation in route.stays[0]:
        takes = {*operation.operation.bay_features, *stage_features.get(operation.operation.stage, [])}
        missing = sorted(takes - set(bay.features))
        if missing:
            words = {"code": operation.code, "features": ", ".join(missing), "bay": bay.number}
            what = _("%(code)s takes %(features)s, which bay %(bay)s has not, and the car cannot leave it")
            way_out = _("It is planned there all the same. Bring it to the bay, or move the car on a dolly")
            yield Fault(
                _("Job %(number)s") % {"number": number}, what % words, way_out, number, operation.code
            )
            return
