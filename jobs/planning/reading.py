"""Reading a JSON document whole: every fault is noted with the path to it, none is guessed away."""

import datetime as dt
import json
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, TypeVar

from jobs.planning.problem import MINUTES_A_DAY, Shift, Span

Kind = TypeVar("Kind")
MISSING: Any = object()
MOST, FIRST_YEAR, LAST_YEAR = 2**31 - 1, 1970, 2200


class UnreadableError(ValueError):
    """A document was refused; `errors` says all that is wrong, each with its path."""

    def __init__(self, errors: list[str]) -> None:
        self.errors = tuple(errors)
        super().__init__("\n".join(errors))


@dataclass(frozen=True)
class Node:
    """A value of the document, the path to it, and the list into which its faults go.

    Every reader hands back something of its kind, so that reading goes on to the next fault.
    """

    value: Any
    path: str
    errors: list[str]

    def fault(self, message: str) -> None:
        self.errors.append(f"{self.path or 'the file'}: {message}")

    def at(self, key: str) -> "Node":
        found = self.value.get(key, MISSING) if isinstance(self.value, dict) else MISSING
        return Node(found, f"{self.path}.{key}" if self.path else key, self.errors)

    @property
    def absent(self) -> bool:
        return self.value is MISSING or self.value is None

    def _of(self, kinds: type[Kind], words: str, otherwise: Kind) -> Kind:
        if isinstance(self.value, kinds) and not (isinstance(self.value, bool) and kinds is not bool):
            return self.value
        self.fault(f"is missing; it has to be {words}" if self.value is MISSING else f"has to be {words}")
        return otherwise

    def text(self) -> str:
        text = self._of(str, "a text", "?")
        if not text.strip():
            self.fault("is empty")
        if any("\ud800" <= letter <= "\udfff" for letter in text):
            self.fault("has half of a character in it; write it anew")
        return text

    def optional_text(self) -> str | None:
        return None if self.absent else self.text()

    def whole(self, least: int = 0, most: int = MOST) -> int:
        number = self._of(int, "a whole number", least)
        if number < least:
            self.fault(f"is {_figure(number)}; it has to be {least} or more")
        if number > most:
            self.fault(f"is {_figure(number)}; it has to be {most} or less")
        return min(max(number, least), most)

    def yes(self) -> bool:
        return False if self.absent else self._of(bool, "true or false", False)

    def items(self, required: bool = True) -> Iterator["Node"]:
        if self.absent and not required:
            return
        for number, item in enumerate(self._of(list, "a list", [])):
            yield Node(item, f"{self.path}[{number}]", self.errors)

    def entries(self) -> Iterator[tuple[str, "Node"]]:
        if not self.absent:
            for key, item in self._of(dict, "an object", {}).items():
                yield str(key), Node(item, f"{self.path}.{key}", self.errors)

    def texts(self) -> tuple[str, ...]:
        return tuple(item.text() for item in self.items(required=False))

    def moment(self) -> dt.datetime:
        """A naive local time to the minute."""
        text = self._of(str, "a local time such as 2026-03-02T10:00", "2000-01-01T00:00")
        try:
            found = dt.datetime.fromisoformat(text)
        except ValueError:
            self.fault(f"“{text}” is no time; write it as 2026-03-02T10:00")
            return dt.datetime(2000, 1, 1)  # noqa: DTZ001 - naive local times throughout
        if found.tzinfo is not None:
            self.fault(f"“{text}” names a time zone; times are the shop's own, without a zone")
        if found.second or found.microsecond:
            self.fault(f"“{text}” has seconds; times are given to the minute")
        return found.replace(tzinfo=None, second=0, microsecond=0)

    def moment_of_our_time(self) -> dt.datetime:
        """A moment upon which days can be counted, forward and back."""
        found = self.moment()
        if not FIRST_YEAR <= found.year <= LAST_YEAR:
            self.fault(f"“{self.value}” lies outside of the years {FIRST_YEAR} to {LAST_YEAR}")
        return found

    def optional_moment(self) -> dt.datetime | None:
        return None if self.absent else self.moment()

    def _pair(self) -> "tuple[Node, Node] | None":
        pair = list(self.items())
        if len(pair) == 2:
            return pair[0], pair[1]
        self.fault("has to be a pair: from and to")
        return None

    def span(self) -> Span | None:
        pair = self._pair()
        if pair is None:
            return None
        starts, ends = pair[0].moment(), pair[1].moment()
        if ends < starts:
            self.fault("ends before it begins")
            return None
        return Span(starts, ends) if starts < ends else None

    def spans(self) -> tuple[Span, ...]:
        found = [item.span() for item in self.items(required=False)]
        return tuple(sorted(span for span in found if span))

    def _minute(self) -> int:
        text = self._of(str, "a time of day such as 08:00", "00:00")
        hours, _, minutes = text.partition(":")
        if hours.isdecimal() and minutes[:2].isdecimal() and len(minutes) in (2, 5):
            minute = int(hours) * 60 + int(minutes[:2])
            if minute <= MINUTES_A_DAY and int(minutes[:2]) < 60:
                return minute
        self.fault(f"“{text}” is no time of day; write it as 08:00")
        return 0

    def shift(self) -> Shift | None:
        pair = self._pair()
        if pair is None:
            return None
        before = len(self.errors)
        starts, ends = pair[0]._minute(), pair[1]._minute()
        if ends <= starts and len(self.errors) == before:
            self.fault("ends before it begins; a shift over midnight is two: until 24:00 and from 00:00")
        return Shift(starts, ends) if ends > starts else None

    def shifts(self) -> tuple[Shift, ...]:
        """The shifts of one day in order, those that touch or overlap made one."""
        merged: list[Shift] = []
        for shift in sorted(one for item in self.items() if (one := item.shift())):
            if merged and shift.starts <= merged[-1].ends:
                merged[-1] = Shift(merged[-1].starts, max(merged[-1].ends, shift.ends))
            else:
                merged.append(shift)
        return tuple(merged)

    def known(self, text: str, names: dict[str, Any] | set[str], what: str) -> None:
        if text not in names:
            self.fault(f"there is no {what} “{text}”")


def document_of(text: str) -> Any:
    """What a JSON text says.

    Raises:
        UnreadableError: it is none, is nested too deep, or says one thing twice.
    """

    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        twice = {key for key, times in Counter(key for key, _ in pairs).items() if times > 1}
        if twice:
            raise UnreadableError([f"“{min(twice)[:80]}” stands twice in one object of the file"])
        return dict(pairs)

    try:
        return json.loads(text, object_pairs_hook=once)
    except json.JSONDecodeError as error:
        raise UnreadableError([f"the file is no JSON: {error}"]) from error
    except RecursionError as error:
        raise UnreadableError(["the file is nested too deep"]) from error
    except UnreadableError:
        raise
    except ValueError as error:  # a figure of thousands of digits
        raise UnreadableError(["the file has a number in it that is too long"]) from error


def _figure(number: int) -> str:
    """A whole number as digits, unless they would fill the page."""
    return str(number) if abs(number) < 10**18 else "a number of more than eighteen digits"


def read_whole(document: Any, schema: str, build: Callable[[Node], Kind]) -> Kind:
    """What `build` makes of the document.

    Raises:
        UnreadableError: with all that is wrong.
    """
    errors: list[str] = []
    root = Node(document, "", errors)
    if not isinstance(document, dict):
        root.fault("has to be a JSON object")
    elif document.get("schema") != schema:
        root.at("schema").fault(f"has to be “{schema}”, and is {document.get('schema')!r}")
    if errors:
        raise UnreadableError(errors)
    built = build(root)
    if errors:
        raise UnreadableError(errors)
    return built
