"""The kinds of paper there are. Each app says what its own papers tell; this floor only makes them."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
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

    def is_for(self, role: str) -> bool:
        return self.roles is None or role in self.roles


_kinds: dict[str, Kind] = {}


def register(
    name: str,
    builder: Builder,
    *,
    title: str | Promise,
    subject: FindSubject,
    roles: frozenset[str] | None = None,
) -> None:
    """Make a kind of paper known; called once by the app whose paper it is.

    Raises:
        ValueError: the name belongs to another paper already.
    """
    known = _kinds.get(name)
    if known is not None and known.builder is not builder:
        raise ValueError(f"there is a paper named {name!r} already")
    _kinds[name] = Kind(name, title, builder, subject, roles)


def find(name: str) -> Kind | None:
    return _kinds.get(name)


def is_for(name: str, role: str) -> bool:
    """Whether people of that role may see papers of that kind; one that nobody knows shows nothing anyway."""
    kind = _kinds.get(name)
    return kind is None or kind.is_for(role)


def subject_of(name: str, stream: str) -> Subject | None:
    """What a paper of that kind about that stream is about, if there can be one."""
    kind = _kinds.get(name)
    return kind.subject(stream) if kind else None


def title_of(name: str) -> str:
    """The paper's name as people say it; the bare name where its app is gone."""
    kind = _kinds.get(name)
    return str(kind.title) if kind else name
