"""What stands against a car's going on and has no day of its own: the plan takes it as cleared in time."""

from collections.abc import Iterator

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
