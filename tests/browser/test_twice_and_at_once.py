"""Every entry of an operation sent twice, and half of them by two tablets at once, to a real server."""

import http.client
import uuid
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode, urlsplit

import pytest
import yaml
from playwright.sync_api import Page

from tests.browser.cast import Cast
from tests.browser.site import ROOT, Site

pytestmark = [pytest.mark.browser, pytest.mark.process, pytest.mark.xdist_group("site")]
JOB, OPERATION = 1001, "A30"
LAST = """select id from shop_entry where stream = ? and subject = ? and outcome = 'accepted'
          order by position desc limit 1"""
COUNT = "select count(*) from shop_entry where stream = ? and subject = ? and outcome = ?"


@dataclass(frozen=True)
class Answer:
    status: int
    location: str
    text: str


class Tablet:
    """What a tablet's browser sends, by its cookies, from any thread."""

    def __init__(self, page: Page, site: Site) -> None:
        kept = {c["name"]: c["value"] for c in page.context.cookies()}
        self.token = kept["csrftoken"]
        self.cookies = "; ".join(f"{name}={value}" for name, value in kept.items())
        self.host = urlsplit(site.address).netloc

    def send(self, form: dict[str, str]) -> Answer:
        connection = http.client.HTTPConnection(self.host, timeout=60)
        headers = {
            "Cookie": self.cookies,
            "X-CSRFToken": self.token,
            "Content-Type": "application/x-www-form-urlencoded",
        }
        connection.request("POST", f"/tablet/{JOB}/entries/", urlencode(form), headers)
        response = connection.getresponse()
        answer = Answer(response.status, response.getheader("Location", ""), response.read().decode())
        connection.close()
        return answer


def begin_turn(cast: Cast, who: str) -> Tablet:
    page = cast.tablet(1)
    page.get_by_label(cast.name(who)).check()
    page.get_by_label("PIN").fill(cast.pin(who))
    page.get_by_role("button", name="Begin turn").click()
    page.get_by_role("button", name="End turn").wait_for()
    return Tablet(page, cast.site)


def forms() -> list[dict[str, str]]:
    """The entries of the operation in their order, as a tablet would fill them in."""
    text = (ROOT / "fixtures" / "readings.yaml").read_text(encoding="utf-8")
    readings: dict[str, Any] = yaml.load(text, Loader=yaml.BaseLoader)["readings"]
    made = [{"kind": "start"}]
    for code, given in readings.items():
        if code.startswith(f"{OPERATION}."):
            fields = {f"p_{name}": value for name, value in given["good"].items()}
            made.append({"kind": "reading", "p_checkpoint": code, **fields})
    return [*made, {"kind": "finish"}]


def test_every_entry_is_recorded_once(cast: Cast, site: Site) -> None:
    first, second = begin_turn(cast, "scribner"), begin_turn(cast, "ferrule")
    stream = f"job/{JOB}"
    overtaken = 0
    with ThreadPoolExecutor(2) as both:
        for number, form in enumerate(forms()):
            last = site.rows(LAST, stream, OPERATION)
            seen = str(uuid.UUID(last[0][0])) if last else ""
            filled = {**form, "subject": OPERATION, "saw": seen, "entry_id": str(uuid.uuid4())}
            if number % 2:
                other = {**filled, "entry_id": str(uuid.uuid4())}
                answers = list(
                    both.map(lambda each: each[0].send(each[1]), [(first, filled), (second, other)])
                )
                assert sorted(a.status for a in answers) == [302, 409], [a.text[:300] for a in answers]
                overtaken += 1
                told = next(a for a in answers if a.status == 409)
                assert "Something else was entered here first" in told.text
                again = filled if answers[0].status == 302 else other
                sender = first if answers[0].status == 302 else second
                assert sender.send(again).status == 302
            else:
                answers = list(both.map(first.send, [filled, filled]))
                assert [a.status for a in answers] == [302, 302], [a.text[:300] for a in answers]
                assert answers[0].location == answers[1].location
            assert site.one(COUNT, stream, OPERATION, "accepted") == number + 1
    assert site.one(COUNT, stream, OPERATION, "conflict") == overtaken
    assert "the record is whole" in site.manage("verify_record")
