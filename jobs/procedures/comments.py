"""Comments in the text of a draft, kept when the text is written anew from its fields.

A comment belongs to the element that it stands before, or on whose line it stands. In the new text it stands
above the line on which that element begins, known again by its keys and codes, else by its place where it got
another code. What is gone leaves its comments to what it lay in. A general library for this was looked at:
it hangs a comment on what stands before it, so that a moved operation leaves its comment behind.
"""

import re
from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

import yaml

from jobs.procedures.yaml_text import plain, read_yaml

Path = tuple[str, ...]
ENDS = re.compile(r"(?<=\n)|(?<=\r)(?!\n)|(?<=[\x85\u2028\u2029])")
COMMENT = re.compile(r"(?:^|(?<=\s))#.*")
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True)
class Element:
    """Where a key or an item begins; `path` by keys and codes, `places` by keys and numbers."""

    line: int
    path: Path
    places: Path


@dataclass
class Laid:
    """A text as it lies on its lines: its elements from top to bottom, and how far each line is taken."""

    lines: list[str]
    elements: list[Element] = field(default_factory=list)
    taken: dict[int, int] = field(default_factory=dict)
    goes_on: dict[int, int] = field(default_factory=dict)

    def takes(self, node: yaml.Node) -> None:
        """The columns that a scalar takes, so that a # in it is none."""
        begin, end = node.start_mark, node.end_mark
        last = end.line if end.column else end.line - 1
        for line in range(begin.line, last + 1):
            is_last = line == end.line
            self.taken[line] = max(self.taken.get(line, 0), end.column if is_last else len(self.lines[line]))
        is_block = getattr(node, "style", None) in {"|", ">"}
        if is_block:  # behind its sign there may be a comment
            self.taken[begin.line] = begin.column + 1
        self.goes_on |= dict.fromkeys(range(begin.line + 1, last + 1), begin.line)

    def beginning(self, line: int) -> int:
        """The line itself, or the one on which what it goes on with begins."""
        while line in self.goes_on:
            line = self.goes_on[line]
        return line


@dataclass(frozen=True)
class Comment:
    """A comment with the element that it belongs to; None for what stands behind all of them."""

    text: str
    of: Element | None


class Places:
    """Where the elements of an older text are in a new one; `known`: the paths of the older text."""

    def __init__(self, laid: Laid, *, known: frozenset[Path]) -> None:
        self.laid, self.known = laid, known
        self.named = {each.path: each for each in reversed(laid.elements)}
        self.placed = {each.places: each for each in reversed(laid.elements)}

    def line_of(self, of: Element) -> int:
        """The line of the same element, of the one in its place, of what it lay in; else the first."""
        for depth in range(len(of.path), 0, -1):
            found = self.named.get(of.path[:depth])
            instead = self.placed.get(of.places[:depth])
            if found is None and instead is not None and instead.path not in self.known:
                found = instead
            if found is not None:
                return self.laid.beginning(found.line)
        return 0


def with_comments_of(old: str, new: str) -> str:
    """The new text with every comment of the old one; it says the same as without them.

    Raises:
        FileErrors: one of them is no YAML of the kind that procedures are written in.
    """
    comments = comments_of(old)
    if not comments:
        return new
    laid = _laid(new)
    places = Places(laid, known=frozenset(each.path for each in _laid(old).elements))
    above: dict[int, list[str]] = {}
    for comment in comments:
        line = len(laid.lines) if comment.of is None else places.line_of(comment.of)
        above.setdefault(line, []).append(comment.text)
    text = "".join(_written(laid.lines, above))
    if plain(read_yaml(text.encode())) == plain(read_yaml(new.encode())):
        return text
    return "".join(f"{comment.text}\n" for comment in comments) + new


def comments_of(text: str) -> list[Comment]:
    """Every comment from top to bottom.

    Raises:
        FileErrors: the text is no YAML of the kind that procedures are written in.
    """
    if "#" not in text:
        return []
    laid = _laid(text)
    begins = [each.line for each in laid.elements]
    found = []
    for number, line in enumerate(laid.lines):
        told = COMMENT.search(line.rstrip("\r\n\x85\u2028\u2029"), laid.taken.get(number, 0))
        if told:
            at = bisect_left(begins, number)
            owner = laid.elements[at] if at < len(begins) else None
            found.append(Comment(told[0].rstrip(), owner))
    return found


def _written(lines: list[str], above: dict[int, list[str]]) -> Iterator[str]:
    for number, line in enumerate([*lines, ""]):
        indent = line[: len(line) - len(line.lstrip(" "))]
        yield from (f"{indent}{text}\n" for text in above.get(number, ()))
        yield line


def _laid(text: str) -> Laid:
    read_yaml(text.encode())  # refuses what could unfold, before anything is made of it
    laid = Laid([line for line in ENDS.split(text) if line])
    root = yaml.compose(text, Loader=_LOADER)
    assert root is not None  # the reader has found a table
    laid.elements += sorted(_elements(root, (), (), laid), key=lambda each: each.line)
    return laid


def _elements(node: yaml.Node, path: Path, places: Path, laid: Laid) -> Iterator[Element]:
    if isinstance(node, yaml.ScalarNode):
        laid.takes(node)
    elif isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            laid.takes(key)
            inside = (*path, key.value), (*places, key.value)
            yield Element(key.start_mark.line, *inside)
            yield from _elements(value, *inside, laid)
    else:
        for number, (name, item) in enumerate(zip(_names(node.value), node.value, strict=True)):
            inside = (*path, name), (*places, str(number))
            yield Element(item.start_mark.line, *inside)
            yield from _elements(item, *inside, laid)


def _names(items: Iterable[yaml.Node]) -> Iterator[str]:
    """What each item is known by: its code, else what it says; told apart where that stands twice."""
    seen: Counter[str] = Counter()
    for item in items:
        name = _name(item)
        seen[name] += 1
        yield f"{name} {seen[name]}"


def _name(item: yaml.Node) -> str:
    if isinstance(item, yaml.ScalarNode):
        return str(item.value)
    if isinstance(item, yaml.MappingNode):
        named = {key.value: value.value for key, value in item.value if isinstance(value, yaml.ScalarNode)}
        return f"{named.get('code', named.get('name', ''))}"
    return ""
