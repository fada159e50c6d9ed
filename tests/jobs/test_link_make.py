"""Making the customer's link at the desk: shown once, listed, revoked."""

import re
import uuid

import pytest

from jobs.models import CustomerLink
from shop.verification import verify_record
from tests.jobs.desk import Desk
from tests.jobs.money.till import text_of
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db
WHERE = "/jobs/1001/link/"


def test_a_link_is_shown_once_with_its_square(route: SmallRoute) -> None:
    desk = Desk(route, "wren")
    assert "None yet." in desk.page(WHERE)
    wish = str(uuid.uuid4())
    shown = desk.post(WHERE, {"wish": wish})
    address = re.search(r'value="(http[^"]+/c/[A-Za-z0-9_-]{43}/)"', shown.content.decode())
    assert address
    assert "<svg" in text_of(shown)
    assert shown["Cache-Control"] == "no-store, private"
    assert address[1] not in desk.page(WHERE)
    again = desk.post(WHERE, {"wish": wish})
    assert address[1] in again.content.decode()
    assert CustomerLink.objects.count() == 1
    assert desk.post(WHERE, {"wish": "x"}).status_code == 404


def test_it_is_revoked_by_whoever_may_make_it(route: SmallRoute) -> None:
    Desk(route, "wren").post(WHERE, {"wish": str(uuid.uuid4())})
    link = CustomerLink.objects.get()
    assert Desk(route, "fenn").post(f"{WHERE}{link.pk}/revoke/", {}).status_code == 403
    assert Desk(route, "fenn").get(WHERE).status_code == 403
    for _ in range(2):
        assert Desk(route, "lind").post(f"{WHERE}{link.pk}/revoke/", {}).status_code == 302
    assert "revoked" in Desk(route, "wren").page(WHERE)
    assert "A private link was revoked" in Desk(route, "wren").page("/jobs/1001/")
    assert verify_record().is_whole
