"""The numbers that a verdict was made from, in words for whoever asks."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from django.utils.translation import gettext as _

from jobs.judging.limits import AS_WRITTEN
from shop.engineering.limits.shown import ReadAs, other_reader, quantity_read_as
from shop.engineering.quantities.measures import Quantity, from_quanta
from shop.engineering.quantities.writer import natural, rounded

Data = Mapping[str, Any]


@dataclass(frozen=True)
class Numbers:
    """One judgement: what it is about, and each number with its name."""

    title: str
    rows: tuple[tuple[str, str], ...]


def numbers_behind(decision: Data, reader: ReadAs = AS_WRITTEN) -> tuple[Numbers, ...]:
    """Every judgement in a stored decision that rests on an uncertainty, in a reader's units first."""
    return tuple(_judgements("", decision, reader))


def explanation_of(decision: Data) -> str:
    """The verdict in sentences; a decision of several parts has one for each."""
    if decision.get("explanation"):
        return str(decision["explanation"])
    parts = (part for part in decision.values() if isinstance(part, Mapping))
    return " ".join(text for part in parts if (text := str(part.get("explanation", ""))))


def _judgements(name: str, part: Data, reader: ReadAs) -> Iterator[Numbers]:
    if isinstance(part.get("thresholds"), Mapping) and isinstance(part.get("limits"), Mapping):
        yield Numbers(_titles().get(name, ""), tuple(_rows(part, reader)))
    elif part.get("kind") == "agreement":
        yield Numbers(_titles().get(name, _("Agreement")), tuple(_agreement(part, reader)))
    for key, inner in part.items():
        if isinstance(inner, Mapping) and key not in {"limits", "thresholds"}:
            yield from _judgements(key, inner, reader)


def _titles() -> dict[str, str]:
    return {
        "left_decision": _("Left"),
        "right_decision": _("Right"),
        "difference": _("Left and right alike"),
        "torque": _("Torque"),
        "angle": _("Angle"),
        "together": _("All readings together"),
        "left_together": _("Left, all readings together"),
        "right_together": _("Right, all readings together"),
        "difference_together": _("Left and right alike, all readings together"),
        "own": _("Against the limit"),
        "agreement": _("Against the first reading"),
        "agreement_left": _("Left, against the first reading"),
        "agreement_right": _("Right, against the first reading"),
    }


def _rows(part: Data, reader: ReadAs) -> Iterator[tuple[str, str]]:
    limits, found = part["limits"], part["thresholds"]
    unit = str(limits["unit"])
    read = part.get("reading") or part.get("value")
    if read:
        yield _("Reading"), _both(read["exact"], read["unit"], reader)
    if part.get("mean"):
        yield _("Readings"), str(part["count"])
        yield _("Mean"), _rounded(part["mean"]["canonical"], unit, reader)
    yield _("Limit as written"), str(limits["text"])
    for key, word in (("low", _("Lower limit")), ("high", _("Upper limit"))):
        if limits.get(key) is not None:
            yield word, _both(limits[key], unit, reader)
    if isinstance(part.get("instrument"), Mapping):
        yield _("Instrument"), str(part["instrument"].get("code", ""))
    yield _("Uncertainty U, k = 2"), f"±{_rounded(found['expanded_uncertainty'], unit, reader)}"
    if found["guard"] is None:
        yield _("Guard band"), _("none fits between the limits: they can't be proved with it")
    else:
        yield _("Guard band"), _rounded(found["guard"], unit, reader)
    for key, word in (("accept_low", _("Conforms from")), ("accept_high", _("Conforms up to"))):
        if found[key] is not None:
            yield word, _rounded(found[key], unit, reader)
    if part.get("conformance_probability") is not None:
        yield _("Probability of conforming"), f"{float(part['conformance_probability']):.1%}"
    yield (
        _("Rule"),
        _("%(name)s, version %(version)s")
        % {
            "name": found["rule_name"],
            "version": found["rule_version"],
        },
    )


def _agreement(part: Data, reader: ReadAs) -> Iterator[tuple[str, str]]:
    for key, word in (
        ("first", _("First reading")),
        ("second", _("Second reading")),
        ("difference", _("Difference")),
        ("allowed", _("May differ by")),
    ):
        if part.get(key):
            yield word, _both(part[key]["exact"], part[key]["unit"], reader)


def _both(exact: str, unit: str, reader: ReadAs) -> str:
    """In the reader's unit, and as it was written or in the other system."""
    quantity = Quantity(Fraction(exact), unit)
    shown = quantity_read_as(quantity, reader)
    written = natural(quantity)
    other = written if shown != written else quantity_read_as(quantity, other_reader(unit))
    return shown if shown == other else f"{shown} = {other}"


def _rounded(quanta: int, unit: str, reader: ReadAs) -> str:
    return rounded(from_quanta(quanta, unit), reader.unit_for(unit))
