"""Rows of a draft's lists: added with the next code, moved, taken out; what names them follows."""

import re
from collections.abc import Iterator
from typing import Any

from jobs.procedures.draft_shapes import CHECKPOINT, MARKS, OPERATION, VIEWS, Shape, Tree
from jobs.procedures.draft_tree import CHECKPOINTS, OPERATIONS, Place, items_of, place_of

# Where the codes of a list are named: in which lists beside it, under which keys.
NAMED = {
    "datums": (("marks", ("laid_out_from",)),),
    "points": (("readings", ("of",)),),
    "references": (("readings", ("from",)),),
}


def add_row(tree: Tree, place: Place, key: str, *, kind: str = "") -> int:
    """A new row at the end of a list that lies in a place, the next code given; returns its number.

    A list that is no list stays as it is: -1.
    """
    part, shape = place.part, place.shape.lists[key]
    rows = part.get(key) or []
    if not isinstance(rows, list):
        return -1
    part[key] = rows
    made: Tree = {}
    like = [row for row in items_of(part, key) if not kind or row.get("kind") == kind]
    if shape.is_coded:
        made["code"] = _next_code(tree, place, shape, like, kind)
    if kind:
        made["kind"] = kind
    if rows and isinstance(rows[-1], dict):
        made |= {k: rows[-1][k] for k in shape.copied if k in rows[-1]}
    rows.append(made)
    return len(rows) - 1


def add_operation(tree: Tree, *, behind: str) -> str:
    """A new operation behind another, or at the end; returns its code."""
    operations = tree.setdefault(OPERATIONS, [])
    found = place_of(tree, behind)
    at = found.number if found is not None and found.shape is OPERATION else None
    near = operations[at] if at is not None else (operations[-1] if operations else {})
    taken = {o.get("code") for o in items_of(tree, OPERATIONS)}
    code = _free(str(near.get("code") or "T0"), taken)
    made = {"code": code, "stage": near.get("stage", ""), "skill": near.get("skill", "")}
    filled = {key: value for key, value in made.items() if value}
    operations.insert(len(operations) if at is None else at + 1, filled)
    return code


def move_row(part: Tree, key: str, number: int, by: int) -> bool:
    """Move a row by one place up or down; whether there was room."""
    rows = part.get(key)
    if not isinstance(rows, list) or not (0 <= number < len(rows) and 0 <= number + by < len(rows)):
        return False
    rows.insert(number + by, rows.pop(number))
    return True


def remove_row(part: Tree, key: str, number: int) -> bool:
    """Take a row out. An operation that others name in `after` is taken out of there too."""
    rows = part.get(key)
    if not isinstance(rows, list) or not 0 <= number < len(rows):
        return False
    gone = rows.pop(number)
    code = gone.get("code") if isinstance(gone, dict) else None
    if key == OPERATIONS:
        for each in items_of(part, key):
            after = each.get("after")
            if isinstance(after, list) and code in after:
                each["after"] = [other for other in after if other != code]
    return True


def follow(tree: Tree, place: Place, key: str, old: Any, new: Any) -> None:
    """What named a row of a list by its old code names it by the new one; `place` is what it lies in."""
    if not (isinstance(old, str) and isinstance(new, str) and old and new) or old == new:
        return
    if old in {row.get("code") for row in items_of(place.part, key)}:
        return
    for rows, keys in NAMED.get(key, ()):
        for row in items_of(place.part, rows):
            _renamed(row, keys, old, new)
    if key == "marks":
        for checkpoint in _checkpoints(tree):
            _renamed(checkpoint, ("mark",), old, new)


def _renamed(row: Tree, keys: tuple[str, ...], old: str, new: str) -> None:
    for key in keys:
        named = row.get(key)
        if named == old:
            row[key] = new
        elif isinstance(named, list):
            row[key] = [new if each == old else each for each in named]


def _checkpoints(tree: Tree) -> Iterator[Tree]:
    for operation in items_of(tree, OPERATIONS):
        yield from items_of(operation, CHECKPOINTS)


def _next_code(tree: Tree, place: Place, shape: Shape, like: list[Tree], kind: str) -> str:
    if shape is CHECKPOINT:
        taken = {row.get("code") for row in items_of(place.part, CHECKPOINTS)}
        numbers = (f"{place.part.get('code', '')}.{n}" for n in range(1, 1000))
        return next(number for number in numbers if number not in taken)
    key = next(key for key, each in place.shape.lists.items() if each is shape)
    taken = {row.get("code") for row in items_of(place.part, key)}
    if shape in (MARKS, VIEWS):
        layout = tree.get("layout")
        views = items_of(layout, "views") if isinstance(layout, dict) else []
        taken |= {row.get("code") for view in views for row in (view, *items_of(view, "marks"))}
    last = str(like[-1].get("code") or "") if like else ""
    first = shape.first_codes.get(kind) or next(iter(shape.first_codes.values()), "N1")
    return _behind(last, taken) if last else (_behind(first, taken) if first in taken else first)


def _behind(code: str, taken: set[Any]) -> str:
    """The next code that is free: C2 behind C1, B behind A, RO2 behind RO."""
    if re.fullmatch(r"[A-Y]", code):
        letters = (chr(n) for n in range(ord(code) + 1, ord("Z") + 1))
        free = next((letter for letter in letters if letter not in taken), None)
        if free:
            return free
    match = re.fullmatch(r"([A-Za-z0-9]*?)([0-9]{0,4})", code[:6])
    stem, digits = (match[1], match[2]) if match else ("N", "")
    start = int(digits) + 1 if digits else 2
    return next(f"{stem}{n}" for n in range(start, 99999) if f"{stem}{n}" not in taken)


def _free(near: str, taken: set[Any]) -> str:
    match = re.fullmatch(r"([A-Z])([0-9]{1,4})", near)
    letter, number = (match[1], int(match[2])) if match else ("T", 0)
    return next(f"{letter}{n}" for n in range(number + 1, 9999) if f"{letter}{n}" not in taken)
