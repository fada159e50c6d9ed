"""Whether a layout can be made on metal: datums that stay and differ, marks that they pin and check."""

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping

from django.utils.translation import gettext as _

from jobs.judging.layouts import CUT_LINE, Mark, View
from jobs.judging.mark_case import PLANNING_TAPES
from jobs.models.procedures import CheckpointKind
from jobs.procedures.file.data import CheckpointData, ProcedureData
from jobs.procedures.file.fields import Faults, Fields, did_you_mean, shown
from jobs.procedures.file.remarks import Remark
from shop.engineering.layout import plane
from shop.engineering.layout.cross_checks import plan_checks
from shop.engineering.layout.words import OPPOSITE

# Two datums nearer than this are one, in the unit of the view.
ONE_PLACE = {"in": 1 / 32, "mm": 0.8}


def check_view(view: View, fields: Fields, lines: Mapping[str, int], faults: Faults) -> None:
    """Add to the faults what cannot be laid out in a view; `lines` says where its marks stand."""
    unit = view.unit
    datums = view.plane_datums(unit)
    before = len(faults.errors)
    for one, other in _doubles(list(datums.values()), unit):
        fields.fault("datums", _("%(one)s and %(other)s are one and the same") % {"one": one, "other": other})
    for datum in datums.values():
        if datum.to is not None and math.dist(datum.at, datum.to) < ONE_PLACE[unit]:
            fields.fault("datums", _("%(code)s is an edge without a length") % {"code": datum.code})
    if _in_one_line(list(datums.values())) and view.marks:
        message = _(
            "all lie on one line: a tape cannot tell one side of it from the other; add one beside it"
        )
        fields.fault("datums", message)
    if len(faults.errors) > before:
        return
    for mark in view.marks:
        message = _mark_fault(view, mark, datums)
        if message:
            faults.add(lines[mark.code], mark.code, message)
    for code, mark in _cut_off(view, datums):
        words = {"datum": code, "mark": mark.code, "waste": mark.waste}
        message = _(
            "datum %(datum)s is on metal that %(mark)s cuts off (%(waste)s of it); take one that stays"
        )
        faults.add(lines[mark.code], mark.code, message % words)


def _doubles(datums: list[plane.Datum], unit: str) -> Iterator[tuple[str, str]]:
    near = ONE_PLACE[unit]
    for n, one in enumerate(datums):
        for other in datums[n + 1 :]:
            if one.is_edge != other.is_edge:
                continue
            if one.to is None or other.to is None:
                same = math.dist(one.at, other.at) < near
            else:
                same = max(one.distance(other.at), one.distance(other.to)) < near
            if same:
                yield one.code, other.code


def _in_one_line(datums: list[plane.Datum]) -> bool:
    """Whether no datum lies beside the line of the others: points in a row, without an edge across."""
    ends = [point for datum in datums for point in (datum.at, datum.to) if point is not None]
    if len(ends) < 3:
        return len(datums) == len(ends)
    far = max(ends[1:], key=lambda point: math.dist(ends[0], point))
    if math.dist(ends[0], far) == 0:
        return True
    line = plane.Datum("", ends[0], far)
    return all(line.distance(point) < plane.NEARLY_PARALLEL for point in ends)


def _mark_fault(view: View, mark: Mark, datums: Mapping[str, plane.Datum]) -> str:
    if len(mark.ends) == 2 and math.dist(*mark.in_unit(view.unit, datums).ends) < ONE_PLACE[view.unit]:
        return _("is a line without a length")
    if mark.waste and _waste_side(view, mark, datums) == 0:
        return _("waste lies along the line; say to which side of it the metal comes off")
    flat = mark.in_unit(view.unit, datums)
    fault = flat.fault()
    if len(mark.laid_out_from) > 2 or (len(mark.ends) == 2 and len(mark.laid_out_from) > 1):
        return _("is laid out from too many datums: one for a line, two for a hole; the others check it")
    if fault == "few":
        return _("needs a second datum to be laid out from")
    if fault:
        return _("is not placed by its datums: a tape runs the same way from both, or along the line")
    if not plan_checks(flat, list(datums.values()), PLANNING_TAPES[view.unit]).checks:
        return _("cannot be checked: no other datum pins it; add one on metal that stays")
    return ""


def _waste_side(view: View, mark: Mark, datums: Mapping[str, plane.Datum]) -> int:
    """1 where the waste lies towards the normal of the line, -1 to the other side, 0 along it."""
    normal = mark.in_unit(view.unit, datums).normal
    along = {view.axes.x: normal[0], OPPOSITE[view.axes.x]: -normal[0]}
    along |= {view.axes.y: normal[1], OPPOSITE[view.axes.y]: -normal[1]}
    found = along.get(mark.waste, 0.0)
    return 0 if abs(found) < plane.NEARLY_PARALLEL else (1 if found > 0 else -1)


def _cut_off(view: View, datums: Mapping[str, plane.Datum]) -> Iterator[tuple[str, Mark]]:
    """Datums on the waste side of every line that bounds a piece; a line without a piece bounds its own."""
    pieces: dict[str, list[Mark]] = defaultdict(list)
    for mark in view.marks:
        if mark.kind == CUT_LINE and mark.waste:
            pieces[mark.piece or f"line {mark.code}"].append(mark)
    for lines in pieces.values():
        for datum in datums.values():
            ends = [point for point in (datum.at, datum.to) if point is not None]
            if any(all(_beyond(view, line, datums, point) for line in lines) for point in ends):
                yield datum.code, lines[0]


def _beyond(view: View, mark: Mark, datums: Mapping[str, plane.Datum], point: plane.Point) -> bool:
    flat = mark.in_unit(view.unit, datums)
    start, normal = flat.ends[0], flat.normal
    off = (point[0] - start[0]) * normal[0] + (point[1] - start[1]) * normal[1]
    return off * _waste_side(view, mark, datums) > ONE_PLACE[view.unit]


def check_marks(data: ProcedureData, layout_views: tuple[View, ...], faults: Faults) -> list[Remark]:
    """Every checkpoint about a mark names one of its side; what is cut and checked by none is remarked."""
    known = {mark.code: (view, mark) for view in layout_views for mark in view.marks}
    checked = set()
    for _operation, checkpoint in data.checkpoints():
        if checkpoint.kind != CheckpointKind.MARK or not checkpoint.mark:
            continue
        message = _wrong_mark(checkpoint, known)
        if message:
            faults.add(checkpoint.line_of("mark"), f"{checkpoint.code} mark", message)
        checked.add(checkpoint.mark)
    words = _("%(code)s is cut, and no checkpoint of kind mark reads it")
    return [
        Remark(data.lines.get("layout"), f"layout {code}", words % {"code": code})
        for code, (_view, mark) in known.items()
        if mark.kind == CUT_LINE and code not in checked
    ]


def _wrong_mark(checkpoint: CheckpointData, known: Mapping[str, tuple[View, Mark]]) -> str:
    found = known.get(checkpoint.mark)
    if found is None:
        message = _("there is no mark “%(code)s” in the layout%(meant)s")
        return message % {"code": shown(checkpoint.mark), "meant": did_you_mean(checkpoint.mark, known)}
    view, side = found[0], checkpoint.side
    if view.side and side not in ("left", "right"):
        return _("lies on the %(side)s; say which side is read") % {"side": view.side}
    if view.side and side != view.side and not view.mirrored:
        words = {"side": view.side, "view": view.code}
        return _("is drawn for the %(side)s, and %(view)s is not marked as mirrored") % words
    return ""
