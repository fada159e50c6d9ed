"""The people of the layout trials: somebody lays a mark out and reads it, now and then with one slip."""

import math
import random

from shop.engineering.layout.plane import Point, Span
from shop.engineering.layout.slip_kinds import Slip, Where
from tests.prove.layout_trials import WHERES, Board, Trial, divided, scribe_error, tape_error

FIGURES = (1 / 16, 1 / 8, 1 / 4, 1 / 2)


def swapped(rng: random.Random, value: float) -> float | None:
    """A figure read out with two digits changed over; None where that is no other figure."""
    whole, rest = divmod(value, 1)
    digits = list(str(int(whole)))
    places = [n for n in range(len(digits) - 1) if digits[n] != digits[n + 1]]
    if not places:
        return None
    n = rng.choice(places)
    digits[n], digits[n + 1] = digits[n + 1], digits[n]
    return None if digits[0] == "0" else int("".join(digits)) + rest


def possible(trial: Trial) -> list[Slip]:
    """The slips that could be made with a layout."""
    mark, on = trial.plan.mark, trial.board
    codes = [step.datum.code for step in mark.steps]
    found = [Slip.BURNED, Slip.DIVISION]
    if mark.radius:
        found.append(Slip.EDGE_FOR_CENTRE)
    if any(code in on.edges for code in codes):
        found.append(Slip.HOOKED)
    if any(swapped(random.Random(0), mark.reads(span)) for span in mark.laid_out):
        found.append(Slip.TRANSPOSED)
    if any(others(on, code) for code in codes):
        found.append(Slip.WRONG_DATUM)
    if any(code in on.inner for code in codes) or all(code in on.pins for code in codes):
        found.append(Slip.WRONG_SIDE)
    return found


def others(on: Board, code: str) -> list[str]:
    """What a datum can be taken for."""
    if code in on.pins:
        return [other for other in on.pins if other != code]
    return [other for other, (axis, _at) in on.edges.items() if other != code and axis == on.edges[code][0]]


def play(rng: random.Random, trial: Trial, slip: Slip | None) -> bool:
    """Lay the mark out and read it; False where that slip cannot be made here after all."""
    trial.slip = slip
    trial.where = rng.choice(WHERES) if slip else None
    if slip == Slip.WRONG_SIDE:
        trial.where = Where.LAID_OUT
    mark = trial.plan.mark
    codes = [step.datum.code for step in mark.steps]
    if slip is not None and trial.where != Where.READ:
        trial.datum = rng.choice(codes)
    elif slip is not None:
        trial.datum = rng.choice([span.datum.code for span in trial.plan.spans])
    by = lengthening(rng, trial, slip)
    if slip is not None and by is None:
        return False
    ends = laid_out(rng, trial, by if trial.where != Where.READ else None)
    if ends is None:
        return False
    trial.values = [read(rng, trial, span, ends, by) for span in trial.plan.spans]
    trial.second = [read_truly(rng, trial, span, ends) for span in trial.plan.spans]
    return min(*trial.values, *trial.second) > 0


def lengthening(rng: random.Random, trial: Trial, slip: Slip | None) -> float | None:
    """By how much the dimension becomes longer; 0 for slips that are no figure."""
    span = next((s for s in trial.plan.spans if s.datum.code == trial.datum), None)
    if slip is None or span is None:
        return None
    nominal = trial.plan.mark.reads(span)
    if slip == Slip.BURNED:
        return rng.choice((-1.0, -1.0, -1.0, 1.0))
    if slip == Slip.DIVISION:
        return rng.choice(FIGURES) * rng.choice((-1, 1))
    if slip == Slip.EDGE_FOR_CENTRE:
        return trial.plan.mark.radius * rng.choice((-1, 1))
    if slip == Slip.TRANSPOSED:
        found = swapped(rng, nominal)
        return None if found is None else found - nominal
    if slip == Slip.HOOKED:
        is_edge = trial.datum in trial.board.edges
        return trial.tape.hook * (-1 if trial.where != Where.READ else 1) if is_edge else None
    if slip == Slip.WRONG_DATUM:
        return 0.0 if others(trial.board, trial.datum) else None
    return 0.0 if trial.datum in trial.board.inner or trial.datum in trial.board.pins else None


def laid_out(rng: random.Random, trial: Trial, by: float | None) -> list[Point] | None:
    """Where the ends of the mark come to stand on the metal."""
    mark, on = trial.plan.mark, trial.board
    codes = [step.datum.code for step in mark.steps]
    if codes[0] in on.pins:
        return on_arcs(rng, trial, codes, by)
    ends = [list(end) for end in mark.ends]
    for code in codes:
        axis, at = on.edges[code]
        n = 0 if axis == "x" else 1
        error = tape_error(rng, trial.tape)
        for end in ends:
            dimension, start = abs(end[n] - at), at
            side = 1 if end[n] >= at else -1
            if by is not None and (code == trial.datum or trial.slip == Slip.HOOKED):
                dimension += by
                if trial.slip == Slip.WRONG_SIDE:
                    side = -side
                if trial.slip == Slip.WRONG_DATUM:
                    start = on.edges[other_of(rng, trial)][1]
            end[n] = start + side * (dimension + error) + scribe_error(rng)
    return [(x, y) for x, y in ends]


def other_of(rng: random.Random, trial: Trial) -> str:
    """The datum that was taken for the right one, the same throughout a trial."""
    found = sorted(others(trial.board, trial.datum))
    return found[len(trial.plan.mark.code) % len(found)]


def on_arcs(rng: random.Random, trial: Trial, codes: list[str], by: float | None) -> list[Point] | None:
    """A hole struck with two arcs from pins."""
    place = trial.plan.mark.ends[0]
    centres, radii = [], []
    for code in codes:
        pin, radius = trial.board.pins[code], math.dist(trial.board.pins[code], place)
        if by is not None and code == trial.datum:
            radius += by
            if trial.slip == Slip.WRONG_DATUM:
                pin = trial.board.pins[other_of(rng, trial)]
        centres.append(pin)
        radii.append(radius + tape_error(rng, trial.tape))
    both = crossing(centres, radii)
    if both is None:
        return None
    near = min(both, key=lambda point: math.dist(point, place))
    if by is not None and trial.slip == Slip.WRONG_SIDE:
        near = max(both, key=lambda point: math.dist(point, place))
    return [(near[0] + scribe_error(rng), near[1] + scribe_error(rng))]


def crossing(centres: list[Point], radii: list[float]) -> tuple[Point, Point] | None:
    """Where two circles cross, by complex numbers."""
    one, two = complex(*centres[0]), complex(*centres[1])
    apart = abs(two - one)
    if apart < 0.5 or min(radii) <= 0 or not abs(radii[0] - radii[1]) < apart < sum(radii):
        return None
    turn = math.acos((radii[0] ** 2 + apart**2 - radii[1] ** 2) / (2 * radii[0] * apart))
    way = (two - one) / apart * radii[0]
    up, down = (
        one + way * complex(math.cos(turn), math.sin(turn)),
        one + way * complex(math.cos(turn), -math.sin(turn)),
    )
    return (up.real, up.imag), (down.real, down.imag)


def read_truly(rng: random.Random, trial: Trial, span: Span, ends: list[Point]) -> float:
    """What the second reader writes down, who knows nothing of the first and does not slip."""
    at, end = trial.board, ends[span.end]
    return divided(distance(at, span.datum.code, end) + tape_error(rng, trial.tape), trial.tape)


def distance(on: Board, code: str, end: Point) -> float:
    if code in on.pins:
        return math.dist(on.pins[code], end)
    axis, at = on.edges[code]
    return abs(end[0 if axis == "x" else 1] - at)


def read(rng: random.Random, trial: Trial, span: Span, ends: list[Point], by: float | None) -> float:
    """What somebody writes down of a tape."""
    on, code, end = trial.board, span.datum.code, ends[span.end]
    again = trial.where == Where.BOTH and span in trial.plan.laid_out
    slips = trial.where == Where.READ or again
    meant = code == trial.datum or (trial.slip == Slip.HOOKED and code in on.edges)
    if slips and meant and trial.slip == Slip.WRONG_DATUM:
        found = others(on, code)
        if found:
            code = other_of(rng, trial)
    true = distance(on, code, end)
    if slips and meant and by is not None:
        true += -by if again else by
    return divided(true + tape_error(rng, trial.tape), trial.tape)
