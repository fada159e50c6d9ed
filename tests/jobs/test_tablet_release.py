"""The release at the tablet: the same page at the car, signed by a lead with the PIN."""

import uuid

import pytest

from jobs.models import Job
from tests.jobs.bay import Bay
from tests.jobs.desk import PIN, give_pins
from tests.jobs.small_route import SmallRoute
from tests.jobs.test_job_release import everything_done

pytestmark = pytest.mark.django_db
WHERE = "/tablet/1001/release/"


def test_what_is_open_leads_to_the_operation_at_the_tablet(route: SmallRoute) -> None:
    give_pins(route)
    page = Bay(route).get(WHERE).content.decode()
    assert 'href="/tablet/1001/A10/?at=A10.4#A10.4"' in page
    assert 'id="release-form"' not in page


def test_a_lead_signs_it_and_nobody_else(route: SmallRoute) -> None:
    everything_done(route)
    bay = Bay(route)

    def sent(**fields: str) -> dict[str, str]:
        return {"entry_id": str(uuid.uuid4()), "saw": "", "subject": "release", "kind": "release", **fields}

    assert 'id="release-form"' in bay.get(WHERE).content.decode()
    assert WHERE in bay.get("/tablet/").content.decode()
    for fields in ({}, {"person": "fenn", "pin": PIN}, {"person": "lind", "pin": "0000"}):
        assert bay.post(WHERE, sent(**fields)).status_code == 422, fields
    assert bay.post(WHERE, {**sent(person="lind", pin=PIN), "kind": "move"}).status_code == 404
    assert not Job.objects.get().is_released
    assert bay.post(WHERE, sent(person="lind", pin=PIN)).headers["Location"] == "/tablet/"
    assert Job.objects.get().released_by == route.people["lind"]
