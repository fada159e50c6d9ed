"""The tablet of the short route's bay, with a person's turn, at the route's own time."""

import uuid
from typing import Any

import time_machine
from django.http import HttpResponse
from django.test import Client
from django.utils.html import strip_tags

from shop.tablets import COOKIE, assign, begin_turn, give_credential
from tests.jobs.desk import PIN
from tests.jobs.small_route import SmallRoute


class Bay:
    """One tablet's browser. `who` has the turn; nobody where it is empty."""

    def __init__(self, route: SmallRoute, who: str = "fenn") -> None:
        self.route, self.client = route, Client()
        tablet, token = assign(route.job.bay, by=route.people["ash"], now=route.now)
        self.tablet, response = tablet, HttpResponse()
        give_credential(response, token)
        self.client.cookies[COOKIE] = response.cookies[COOKIE].value
        if who:
            begin_turn(tablet, route.people[who], PIN, now=route.now)

    def get(self, path: str, **headers: str) -> HttpResponse:
        with time_machine.travel(self.route.now, tick=False):
            return self.client.get(path, headers=headers)

    def post(self, path: str, data: dict[str, Any]) -> HttpResponse:
        with time_machine.travel(self.route.now, tick=False):
            return self.client.post(path, data)

    def page(self, code: str) -> str:
        answer = self.get(f"/tablet/{self.route.job.number}/{code}/")
        assert answer.status_code == 200, answer.status_code
        return answer.content.decode()

    def words(self, code: str) -> str:
        """The page as it reads: fractions set one over the other with their stroke."""
        return strip_tags(self.page(code))

    def enter(self, kind: str, subject: str, /, **fields: Any) -> HttpResponse:
        """Post an entry having seen the last one; payload fields go by their own names."""
        outer = {"entry_id", "saw", "pin", "person", "photo", "entered_at", "turn"}
        outer |= {"second_username", "second_pin"}
        saw = self.route.saw(subject)
        data = {"entry_id": str(uuid.uuid4()), "saw": str(saw or ""), "kind": kind, "subject": subject}
        data |= {name if name in outer else f"p_{name}": value for name, value in fields.items()}
        return self.post(f"/tablet/{self.route.job.number}/entries/", data)
