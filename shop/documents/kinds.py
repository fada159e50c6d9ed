"""The kinds of paper there are. Each app says what its own papers tell; this floor only makes them.

A kind may have a paper for each numbered part of what it is about: `nonconformance-2` is of the second.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from django.db import models
from django.utils.functional import Promise

from shop.documents.models import Document


class PaperSize(models.TextChoices):
    A4 = "A4", "A4"
    LETTER = "Letter", "Letter"


class PaperError(Exception):
    """A paper that cannot be made, however often it is tried; `message` says why in the user's words."""

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message


@dataclass(frozen=True)
class Paper:
    """What a paper says, read from the record and complete: drawing it asks the database nothing.

    `pages` is about how many there will be, so that progress can be told. `photos` are the only pictures
    that the paper may show beside our own static files: the name after `/photos/` in the template, and
    the file.
    """

    template: str
    context: Mapping[str, Any]
    title: str
    pages: int = 1
    photos: Mapping[str, Path] = field(default_factory=dict)


@dataclass(frozen=True)
class Subject:
    """What a paper is about, as people say it, and the page about it; the bay that it stands in, if any."""

    label: str
    url: str
    bay_id: int | None = None


Builder = Callable[[Document], Paper]
FindSubject = Callable[[str], Subject | None]
HasPart = Callable[[str, int], bool]
PART = re.compile(r"(.+)-([1-9][0-9]{0,5})")


@dataclass(frozen=True)
class Kind:
    """A kind of paper. `subject` finds what a stream is about; None where there can be no such paper.

    `roles` may ask for it and look at it; None where everybody of the shop may.
    """

    name: str
    title: str | Promise
    builder: Builder
    subject: FindSubject
    roles: frozenset[str] | None = None
    has_part: HasPart | None = None

    def is_for(self, role: str) -> bool:
        return self.roles is None or role in self.roles

    def of_part(self, number: int) -> "Kind | None":
        """The kind of one part's paper; None where the kind has no parts."""
        has_part = self.has_part
        if has_part is None:
            return None
        return replace(
            self,
            name=f"{self.name}-{number}",
            title=f"{self.title} {number}",
            subject=lambda stream: self.subject(stream) if has_part(stream, number) else None,
            has_part=None,
        )


_kinds: dict[str, Kind] = {}


def register(
    name: str,
    builder: Builder,
    *,
    title: str | Promise,
    subject: FindSubject,
    roles: frozenset[str] | None = None,
    has_part: HasPart | None = None,
) -> None:
    """Make a kind of paper known; called once by the app whose paper it is.

    Args:
        has_part: for a kind with a paper for each numbered part, whether a stream has that part.

    Raises:
        ValueError: the name belongs to another paper already.
    """
    known = _kinds.get(name)
    if known is not None and known.builder is not builder:
        raise ValueError(f"there is a paper named {name!r} already")
    _kinds[name] = Kind(name, title, builder, subject, roles, has_part)


def find(name: str) -> Kind | None:
    """The kind of that name; for `nonconformance-2` that of the second nonconformance."""
    known = _kinds.get(name)
    part = PART.fullmatch(name)
    if known is None and part is not None and part[1] in _kinds:
        return _kinds[part[1]].of_part(int(part[2]))
    return known if known is None or known.has_part is None else None


def is_for(name: str, role: str) -> bool:
    """Whether people of that role may see papers of that kind; one that nobody knows shows nothing anyway."""
    kind = find(name)
    return kind is None or kind.is_for(role)


def part_of(name: str) -> int:
    """The number of the part that a kind's name is of; 0 where it is of none."""
    part = PART.fullmatch(name)
    return int(part[2]) if part else 0


def subject_of(name: str, stream: str) -> Subject | None:
    """What a paper of that kind about that stream is about, if there can be one."""
    kind = find(name)
    return kind.subject(stream) if kind else None


def title_of(name: str) -> str:
    """The paper's name as people say it; the bare name where its app is gone."""
    kind = find(name)
    return str(kind.title) if kind else name
