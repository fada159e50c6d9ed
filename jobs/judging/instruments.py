"""Picking an instrument: in calibration, of the right kind of quantity, in range, able to prove the limit."""

import datetime as dt
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial

from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.judging.judged_how import fallback_rule
from jobs.judging.questions import Question, words
from shop.engineering.decision import Capability, can_prove, can_prove_equal
from shop.engineering.decision.rules import ISO_14253_95, Rule, rule_named
from shop.engineering.decision.thresholds import Thresholds
from shop.engineering.decision.uncertainty import InstrumentData
from shop.engineering.joints.wrenches import LOWEST_SHARE, Wrench, unfit_for
from shop.engineering.limits import Limits
from shop.engineering.quantities.measures import Dimension, Quantity
from shop.engineering.quantities.writer import natural, rounded
from shop.instrument_data import instrument_data, measures
from shop.models import Calibration, Instrument, ShopSettings, Tool
from shop.prepared import Prepared, keep_related

NAMED = Prepared(lambda code: Instrument.objects.filter(code=code))
EVERY = Prepared(lambda: Instrument.objects.order_by("code"))
EVERY_CALIBRATION = Prepared(Calibration.objects.all)
CALIBRATIONS = Prepared(lambda instrument: Calibration.objects.filter(instrument=instrument))


@dataclass(frozen=True)
class Choice:
    """An instrument of the shop, with whether it may be used for a checkpoint and, if not, why."""

    row: Instrument
    data: InstrumentData
    why_not: str
    proves: bool
    aim: str = ""
    thresholds: Thresholds | None = None
    rule: Rule = ISO_14253_95

    @property
    def is_usable(self) -> bool:
        return not self.why_not


def agreed_rule(settings: ShopSettings) -> Rule:
    """The shop's decision rule."""
    return rule_named(settings.decision_rule)


def all_instruments() -> list[Instrument]:
    """Every instrument with its calibrations, in two queries."""
    found, calibrations = EVERY.all(), defaultdict[int, list[Calibration]](list)
    for calibration in EVERY_CALIBRATION.all():
        calibrations[calibration.instrument_id].append(calibration)
    for row in found:
        keep_related(row, "calibrations", calibrations[row.pk])
    return found


def instruments_named(code: str) -> list[Instrument]:
    """The instrument of a code, in capitals or not, with its calibrations; none or one."""
    found = NAMED.all(code=code) or list(Instrument.objects.filter(code__iexact=code))
    for row in found:
        keep_related(row, "calibrations", CALIBRATIONS.all(instrument=row))
    return found


def all_tools() -> list[Tool]:
    """Every tool that is not withdrawn, in one query."""
    return list(Tool.objects.filter(is_withdrawn=False).order_by("kind", "code"))


def choices_for(
    limits: Sequence[Limits],
    *,
    unit: str,
    kind: str,
    instruments: Sequence[Instrument],
    on: dt.date,
    rule: Rule,
    equal: Limits | None = None,
    fallback: Rule | None = None,
) -> list[Choice]:
    """The shop's instruments for a quantity, the kind that the procedure names first, usable ones before.

    Args:
        limits: all that must be proved.
        unit: any unit of the quantity.
        kind: the kind of instrument that the procedure names.
        equal: what left and right may differ by, to be proved too.
        fallback: the rule that a lead has decided on where none of them can prove it by the shop's.
    """
    dimension = Quantity(Fraction(0), unit).dimension
    fitting = [row for row in instruments if dimension in measures(row.kind)]
    found = [_choice(row, limits, equal, on=on, rule=rule) for row in fitting]
    if any(c.is_usable and c.proves for c in found):
        found = [c if c.proves or c.why_not else _unable(c, found) for c in found]
    elif fallback is not None:
        return choices_for(
            limits, unit=unit, kind=kind, instruments=instruments, on=on, rule=fallback, equal=equal
        )
    return sorted(found, key=lambda c: (not c.is_usable, c.row.kind != kind, not c.proves, c.row.code))


def _choice(
    row: Instrument, limits: Sequence[Limits], equal: Limits | None, *, on: dt.date, rule: Rule
) -> Choice:
    """One instrument, whether it may be used on that day and whether it can prove what is asked."""
    data = instrument_data(row, row.calibration(on=on))
    capabilities = [can_prove(limit, data, rule) for limit in limits]
    if equal is not None:
        at = limits[0].largest if limits else Quantity(Fraction(0), equal.unit)
        capabilities.append(can_prove_equal(equal, data, at, rule))
    proves = all(capability.provable for capability in capabilities)
    thresholds = capabilities[0].thresholds if limits else None
    why_not = _why_not(row, on=on) or _cannot_set(data, limits)
    return Choice(row, data, why_not, proves, _aim(capabilities, row.unit), thresholds, rule)


def _aim(capabilities: Sequence[Capability], unit: str) -> str:
    """Where to set or aim so that the limit is proved, in the instrument's own unit too where it has another.

    Empty where it cannot be proved or nothing is to be set.
    """
    found = [c.thresholds.suggested for c in capabilities if c.provable and c.thresholds]
    if len(found) != 1 or found[0] is None:
        return ""
    words = natural(found[0])
    return words if found[0].unit == unit else f"{words} = {rounded(found[0], unit)}"


def _why_not(row: Instrument, *, on: dt.date) -> str:
    if row.is_withdrawn:
        return _("%(code)s is withdrawn") % {"code": row.code}
    newest = row.calibration(on=on)
    if newest is None:
        return _("%(code)s was never calibrated") % {"code": row.code}
    if not newest.passed:
        return _("%(code)s was found bad on %(day)s") % {"code": row.code, "day": newest.done_on}
    if on > newest.due_on:
        return _("%(code)s is out of calibration since %(day)s") % {"code": row.code, "day": newest.due_on}
    after = row.next_calibration(on=on)
    if after is not None and not after.passed:
        # Of something written by hand on that day: what is known by now counts.
        return _("%(code)s was found bad on %(day)s, after that") % {"code": row.code, "day": after.done_on}
    return ""


def _cannot_set(wrench: InstrumentData, limits: Sequence[Limits]) -> str:
    """Why a torque wrench cannot be set to the figure; empty for whatever else is read with."""
    figure = limits[0].nominal or limits[0].largest if limits else None
    if wrench.dimension is not Dimension.TORQUE or figure is None or wrench.range_high is None:
        return ""
    low = wrench.range_low.to("N·m").value if wrench.range_low else Fraction(0)
    ranged = Wrench(wrench.code, low, wrench.range_high.to("N·m").value, Fraction(0), is_in_calibration=True)
    share = Fraction(0) if wrench.range_low else LOWEST_SHARE
    unfit = unfit_for(ranged, figure.to("N·m").value, share=share)
    return words(unfit) if unfit else ""


def _unable(choice: Choice, others: Sequence[Choice]) -> Choice:
    able = ", ".join(c.row.code for c in others if c.proves and not c.why_not)
    words = {"code": choice.row.code, "able": able}
    return replace(choice, why_not=_("%(code)s cannot prove this limit; these can: %(able)s") % words)


def pick_instrument(
    question: Question,
    limits: Sequence[Limits],
    values: Sequence[Quantity],
    *,
    name: str = "instrument",
    equal: Limits | None = None,
) -> Choice:
    """The instrument that was named, if it may be used.

    Raises:
        BadInput: none was named, there is none of that code, or it may not be used; says which can.
    """
    checkpoint = question.checkpoint
    kind = checkpoint.angle_instrument_kind if name == "angle_instrument" else checkpoint.instrument_kind
    choose = partial(
        choices_for,
        limits,
        unit=limits[0].unit if limits else (values[0].unit if values else checkpoint.records),
        kind=kind,
        on=question.on,
        rule=agreed_rule(question.settings),
        equal=equal,
    )
    code = str(question.payload.get(name, "")).strip()
    # One that may be used and proves the limit needs no other beside it; only for any less all are looked at.
    alone = choose(instruments=instruments_named(code))
    if len(alone) == 1 and alone[0].is_usable and alone[0].proves:
        found = alone[0]
    else:
        found = _named(
            code, choose(instruments=all_instruments(), fallback=fallback_rule(question.read)), name
        )
    for value in values:
        if not found.data.covers(value):
            reach = {"code": found.row.code, "range": f"{found.row.range_low}…{found.row.range_high}"}
            raise BadInput({name: _("%(code)s does not reach that far; its range is %(range)s") % reach})
    return found


def _named(code: str, choices: Sequence[Choice], name: str) -> Choice:
    """The choice of that code, if it may be used."""
    able = ", ".join(c.row.code for c in choices if c.is_usable)
    found = next((c for c in choices if c.row.code.casefold() == code.casefold()), None)
    if not code:
        why = _("Pick the instrument")
    elif found is None:
        why = _("There is no %(code)s for this") % {"code": code}
    elif found.why_not:
        why = found.why_not
    else:
        return found
    raise BadInput({name: _("%(why)s. These can be used: %(able)s") % {"why": why, "able": able}})
