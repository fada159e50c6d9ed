"""Whatever is sent twice is recorded once; of two who send at the same moment one is told so."""

import uuid
from collections.abc import Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Any

import pytest
import yaml

from tests.browser.cast import Cast
from tests.browser.site import ROOT, Site
from tests.browser.wire_tablet import Told, WireTablet, reason_of

pytestmark = [pytest.mark.browser, pytest.mark.process]

CAR = 1001  # of the demo: in bay 1, everything up to A20 done
REST = ["A30", "A40", "A50", "A60", "L10", "L20", "L30", "R10"]
AT_RIDE_HEIGHT = ["A20.1", "A20.2"]
LEAD = "plumb"


@dataclass(frozen=True)
class Sent:
    """An entry as a form sends it."""

    subject: str
    kind: str
    fields: Mapping[str, str] = field(default_factory=dict)
    is_photo: bool = False
    person: str = ""

    def posted(self, saw: str, *, pin: str) -> dict[str, str]:
        signer = {"person": self.person, "pin": pin} if self.person else {}
        return {
            "entry_id": str(uuid.uuid4()),
            "saw": saw,
            "subject": self.subject,
            "kind": self.kind,
            "entered_at": "",
            **{f"p_{name}": text for name, text in self.fields.items()},
            **signer,
        }


def the_rest_of_the_way() -> Iterator[Sent]:
    """Every entry from where the demo's first car stands to where it can be released."""
    told = yaml.load((ROOT / "fixtures" / "readings.yaml").read_text(), Loader=yaml.BaseLoader)["readings"]
    for code in REST:
        yield Sent(code, "start")
        for checkpoint in (found for found in told if found.startswith(f"{code}.")):
            yield reading(checkpoint, told[checkpoint]["good"])
        yield Sent(code, "finish", person=LEAD if code == "R10" else "")
        if code == "L10":
            yield from (reading(late, told[late]["good"]) for late in AT_RIDE_HEIGHT)


def reading(checkpoint: str, good: Mapping[str, str]) -> Sent:
    is_photo = "caption" in good
    fields = {"checkpoint": checkpoint, **({} if is_photo else good)}
    return Sent(checkpoint.split(".")[0], "reading", fields, is_photo)


class Two:
    """Two tablets in one bay, and how they send."""

    def __init__(self, site: Site, cast: Cast) -> None:
        self.site, self.cast = site, cast
        self.one = WireTablet(site, cast, bay=1, person="scribner")
        self.other = WireTablet(site, cast, bay=1, person="tackwell")
        self.pool = ThreadPoolExecutor(max_workers=2)

    def post(self, tablet: WireTablet, sent: Sent, fields: dict[str, str]) -> Told:
        return tablet.post(f"/tablet/{CAR}/entries/", fields, photo=sent.is_photo)

    def prepared(self, sent: Sent) -> dict[str, str]:
        return sent.posted(self.one.saw(CAR, sent.subject), pin=self.cast.pin(sent.person or LEAD))

    def twice(self, sent: Sent) -> None:
        """The same entry once more, as after an answer that was lost, gets the same answer."""
        fields = self.prepared(sent)
        first, again = self.post(self.one, sent, fields), self.post(self.one, sent, fields)
        assert (first.status, again.status) == (302, 302), (sent, reason_of(first.page + again.page))

    def twice_at_once(self, sent: Sent) -> None:
        """The same entry at the same moment, as by a finger that trembles."""
        fields = self.prepared(sent)
        answers = self.both(lambda tablet: self.post(self.one, sent, fields))
        assert [a.status for a in answers] == [302, 302], (sent, [reason_of(a.page) for a in answers])
        assert answers[0].leads_to == answers[1].leads_to

    def from_both(self, sent: Sent) -> None:
        """Each of two has seen the same; one is recorded, the other is told and keeps what was typed."""
        fields = {tablet: self.prepared(sent) for tablet in (self.one, self.other)}
        answers = self.both(lambda tablet: self.post(tablet, sent, fields[tablet]))
        assert sorted(a.status for a in answers) == [302, 409], (sent, [reason_of(a.page) for a in answers])
        told = dict(zip(fields, answers, strict=True))
        late, answer = next((t, a) for t, a in told.items() if a.status == 409)
        first = next(t for t in told if t is not late)
        assert self.post(first, sent, fields[first]).status == 302
        assert "Something else was entered here first" in answer.page
        for name, text in sent.fields.items():
            assert text in answer.fields.get(f"p_{name}", []), (sent, name)
        assert self.post(late, sent, fields[late]).status == 409

    def read_cautions(self, code: str) -> None:
        """Both acknowledge what an operation warns of, each in their own turn."""
        sent = Sent(code, "cautions_seen")
        for tablet in (self.one, self.other):
            assert self.post(tablet, sent, sent.posted("", pin="")).status == 302

    def both(self, send: Any) -> list[Told]:
        return list(self.pool.map(send, (self.one, self.other)))


def test_every_entry_is_recorded_once(site: Site, cast: Cast) -> None:
    two = Two(site, cast)
    before = recorded(site)
    ways = [two.twice, two.from_both, two.twice_at_once, two.from_both]
    route = list(the_rest_of_the_way())
    gone = [two.twice if sent.is_photo else ways[at % len(ways)] for at, sent in enumerate(route)]
    cautions = warned_of(site)
    for code in cautions & {sent.subject for sent in route}:
        two.read_cautions(code)
    read = 2 * len(cautions & {sent.subject for sent in route})
    for way, sent in zip(gone, route, strict=True):
        way(sent)
    after = recorded(site)
    races = gone.count(two.from_both)
    assert races >= len(route) // 2 - 1
    new = {outcome: after[outcome] - before.get(outcome, 0) for outcome in after}
    assert new["conflict"] == races
    assert "refused" not in new or new["refused"] == 0
    assert new["accepted"] == len(route) + read
    assert twice_in_force(site) == []
    assert "whole" in site.manage("verify_record")


def warned_of(site: Site) -> set[str]:
    """The operations of the car that have cautions."""
    rows = site.rows(
        "SELECT o.code FROM jobs_operation o JOIN jobs_joboperation jo ON jo.operation_id = o.id "
        "JOIN jobs_job j ON j.id = jo.job_id WHERE j.number = ? AND o.cautions <> '[]'",
        CAR,
    )
    return {code for (code,) in rows}


def recorded(site: Site) -> dict[str, int]:
    """How many entries on the car came to what; photos go in before the reading that shows them."""
    return dict(
        site.rows(
            "SELECT outcome, count(*) FROM shop_entry WHERE stream = ? AND kind <> 'photo' GROUP BY outcome",
            f"job/{CAR}",
        )
    )


def twice_in_force(site: Site) -> list[tuple[Any, ...]]:
    """Checkpoints of the rest of the way with more than one result."""
    return site.rows(
        "SELECT c.code, count(*) FROM jobs_result r JOIN jobs_checkpoint c ON c.id = r.checkpoint_id "
        "JOIN jobs_joboperation o ON o.id = r.job_operation_id JOIN jobs_job j ON j.id = o.job_id "
        "WHERE j.number = ? GROUP BY c.code HAVING count(*) > 1",
        CAR,
    )
