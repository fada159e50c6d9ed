"""A car's identity corrected, by two people at once."""

import pytest

from shop.verification import verify_record
from tests.jobs.customer_desk import seen
from tests.jobs.desk import Desk
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db


def test_two_at_the_same_form_the_later_is_told(desk: Desk, route: SmallRoute) -> None:
    page = f"/vehicles/{route.job.vehicle.pk}/edit/"
    typed = {"model_year": "1966", "description": "Test car", "serial": "1", "plate": "NEW 1"}
    stale = seen(desk, page)
    assert desk.post(page, {**typed, "plate": "FIRST", "seen": stale}).status_code == 302
    answer = desk.post(page, {**typed, "seen": stale})
    assert answer.status_code == 409
    assert "FIRST" in answer.content.decode()
    assert 'value="NEW 1"' in answer.content.decode()
    assert desk.post(page, {**typed, "seen": seen(desk, page)}).status_code == 302
    route.job.vehicle.refresh_from_db()
    assert route.job.vehicle.plate == "NEW 1"
    assert not route.job.vehicle.north_america
    assert verify_record().is_whole


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("model_year", "66ish", "as four digits"),
        ("serial", "", "Enter the VIN"),
        ("serial", "x" * 50, "too long for a serial"),
    ],
)
def test_bad_input_is_told_and_kept(
    field: str, value: str, words: str, desk: Desk, route: SmallRoute
) -> None:
    page = f"/vehicles/{route.job.vehicle.pk}/edit/"
    typed = {"model_year": "1966", "description": "kept car", "serial": "1", "seen": seen(desk, page)}
    answer = desk.post(page, {**typed, field: value})
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert "kept car" in answer.content.decode()
