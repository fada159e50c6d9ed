"""The fire watch: kept for the shop's minutes from the last spark of the work that it watches."""

import datetime as dt

from django.utils.translation import gettext as _

from jobs.models import Proves
from jobs.reasons import Reason
from jobs.record import CheckpointStanding, JobRecord


def fire_watch_not_over(
    record: JobRecord, standing: CheckpointStanding, *, now: dt.datetime
) -> Reason | None:
    """The watch lasts the shop's minutes from the last spark of the work that it watches."""
    if not standing.proves(Proves.FIRE_WATCH):
        return None
    last = record.last_hot_work(up_to=record.position_of(standing))
    if last is None:
        return Reason(
            f"watch:{standing.code}",
            _("No hot work is recorded that this watch could follow"),
            _("Start the hot work in its operation first"),
            standing.code,
        )
    over = watch_over_at(record, standing) or now
    if now >= over:
        return None
    local = over.astimezone(record.zone)
    return Reason(
        f"watch:{standing.code}",
        _("The fire watch runs until %(time)s, %(minutes)d minutes after the last hot work, by %(rule)s")
        % {
            "time": f"{local:%H:%M}",
            "minutes": record.settings.watch_minutes,
            "rule": record.settings.watch_by,
        },
        _("Keep watching; record it after %(time)s") % {"time": f"{local:%H:%M}"},
        standing.code,
    )


def watch_over_at(record: JobRecord, standing: CheckpointStanding) -> dt.datetime | None:
    """When the watch is over, as things stand; none where it is no watch or nothing has sparked yet."""
    last = record.last_hot_work(up_to=record.position_of(standing))
    if last is None or not standing.proves(Proves.FIRE_WATCH):
        return None
    return last + dt.timedelta(minutes=record.settings.watch_minutes)
