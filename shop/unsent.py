"""What somebody had typed when they were no longer signed in: kept through signing in, then sent by hand.

It travels signed in the page itself; nothing of it is stored. PINs, passwords and files do not travel along.
"""

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.core import signing
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

SALT = "shop.unsent"
HOLDS_S = 24 * 60 * 60
MOST_CHARACTERS = 300_000
SECRET = frozenset({"csrfmiddlewaretoken", "password", "pin", "new_password1", "new_password2"})


@dataclass(frozen=True)
class Unsent:
    """A form that was not taken: where it was to go, what stood in it."""

    to: str
    fields: tuple[tuple[str, str], ...]
    had_files: bool

    @classmethod
    def of(cls, request: HttpRequest) -> "Unsent":
        fields = tuple(
            (name, value)
            for name, values in request.POST.lists()
            if name not in SECRET
            for value in map(str, values)
        )
        if sum(len(name) + len(value) for name, value in fields) > MOST_CHARACTERS:
            fields = ()
        return cls(request.get_full_path(), fields, bool(request.FILES))

    @classmethod
    def read(cls, text: str) -> "Unsent | None":
        """What `packed` wrote; None for anything else, and after a day."""
        try:
            told: Any = signing.loads(text, salt=SALT, max_age=HOLDS_S)
        except signing.BadSignature:
            return None
        fields = tuple((str(name), str(value)) for name, value in told["fields"])
        return cls(told["to"], fields, told["had_files"])

    @property
    def packed(self) -> str:
        told = {"to": self.to, "fields": self.fields, "had_files": self.had_files}
        return signing.dumps(told, salt=SALT, compress=True)

    @property
    def words(self) -> tuple[str, ...]:
        """What a person typed or chose; what the page put in by itself is left out."""
        return tuple(value for name, value in self.fields if value and not _is_of_the_page(name, value))


def _is_of_the_page(name: str, value: str) -> bool:
    own = name in {"entry_id", "saw", "seen", "kind", "subject", "next", "entered_at", "do"}
    try:
        return own or bool(UUID(value))
    except ValueError:
        return False


def show_unsent(request: HttpRequest, unsent: Unsent, *, status: int = 200) -> HttpResponse:
    """The page that holds what was not sent, to be looked at and sent by who is signed in."""
    response = render(request, "shop/sign_in_unsent.html", {"unsent": unsent}, status=status)
    return over_the_page(response)


def over_the_page(response: HttpResponse) -> HttpResponse:
    """A whole page, wherever a fragment was expected."""
    for name, value in _HEADERS:
        response[name] = value
    return response


_HEADERS: tuple[tuple[str, str], ...] = (
    ("HX-Retarget", "body"),
    ("HX-Reswap", "innerHTML show:window:top"),
    ("Cache-Control", "no-store, private"),
)
