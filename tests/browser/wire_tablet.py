"""A tablet of a bay reduced to what goes over the wire, so that two can send in the same moment."""

import re
import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from html.parser import HTMLParser
from http.client import HTTPResponse
from http.cookiejar import CookieJar
from typing import Any
from urllib.error import HTTPError
from urllib.parse import urlencode
from urllib.request import HTTPCookieProcessor, HTTPRedirectHandler, Request, build_opener

from tests.browser.bay_tablet import a_photo
from tests.browser.cast import Cast
from tests.browser.site import Site

SLOWEST_ANSWER_S = 60


class _NoWayOn(HTTPRedirectHandler):
    """Where an answer leads is looked at, not followed."""

    def redirect_request(self, *_: Any) -> None:
        return None


class _Fields(HTMLParser):
    """What the fields of a page hold, the last of each name."""

    def __init__(self) -> None:
        super().__init__()
        self.held: dict[str, list[str]] = {}

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "input" and given.get("name"):
            self.held.setdefault(str(given["name"]), []).append(given.get("value") or "")


@dataclass(frozen=True)
class Told:
    """An answer: its status, its page, and where it leads."""

    status: int
    page: str
    leads_to: str

    @property
    def fields(self) -> dict[str, list[str]]:
        reader = _Fields()
        reader.feed(self.page)
        return reader.held


class WireTablet:
    """Made the tablet of a bay by the manager, as in a browser; then in the hands of one person."""

    def __init__(self, site: Site, cast: Cast, *, bay: int, person: str) -> None:
        self.site = site
        self.cookies = CookieJar()
        self.opener = build_opener(HTTPCookieProcessor(self.cookies), _NoWayOn())
        self.get("/sign-in/")
        manager = cast.people["keel"]
        self.post("/sign-in/", {"username": "keel", "password": manager["password"]})
        self.get("/shop/tablets/")
        made = self.post("/shop/tablets/code/", {"bay": str(bay), "name": ""}).page
        (code,) = re.findall(r'class="one-time-code">([^<]+)<', made)
        self.get("/tablet/")
        assert self.post("/tablet/code/", {"code": code}).status == 302
        self.get("/tablet/")
        turn = self.post("/tablet/turn/", {"username": person, "pin": cast.pin(person)})
        assert turn.status == 302

    def get(self, path: str) -> Told:
        return self._send(Request(f"{self.site.address}{path}"))

    def post(self, path: str, fields: Mapping[str, str], *, photo: bool = False) -> Told:
        token = next(cookie.value or "" for cookie in self.cookies if cookie.name == "csrftoken")
        body, kind = _with_photo(fields) if photo else (urlencode(fields).encode(), None)
        request = Request(f"{self.site.address}{path}", data=body)
        request.add_header("X-CSRFToken", token)
        if kind:
            request.add_header("Content-Type", kind)
        return self._send(request)

    def saw(self, number: int, code: str) -> str:
        """The last entry on an operation that its page knows of."""
        return self.get(f"/tablet/{number}/{code}/").fields.get("saw", [""])[0]

    def _send(self, request: Request) -> Told:
        try:
            answer: HTTPResponse | HTTPError = self.opener.open(request, timeout=SLOWEST_ANSWER_S)
        except HTTPError as other:
            answer = other
        with answer:
            leads_to = answer.headers.get("Location") or ""
            return Told(int(answer.status or 0), answer.read().decode(), leads_to)


def _with_photo(fields: Mapping[str, str]) -> tuple[bytes, str]:
    edge = uuid.uuid4().hex
    photo = a_photo()
    parts = [
        f'--{edge}\r\nContent-Disposition: form-data; name="{name}"\r\n\r\n{text}\r\n'.encode()
        for name, text in fields.items()
    ]
    head = f'--{edge}\r\nContent-Disposition: form-data; name="photo"; filename="{photo["name"]}"\r\n'
    head += f"Content-Type: {photo['mimeType']}\r\n\r\n"
    parts.append(head.encode() + bytes(photo["buffer"]) + f"\r\n--{edge}--\r\n".encode())  # type: ignore[call-overload]
    return b"".join(parts), f"multipart/form-data; boundary={edge}"


def reason_of(page: str) -> str:
    """The words of a refusal, for whoever reads a failed test."""
    return " ".join(re.sub(r"<[^>]+>", " ", page[page.find('role="alert"') :][:1500]).split())
