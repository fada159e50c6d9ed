"""A customer corrected; what is personal stays out of the record."""

import pytest

from shop.models import Event
from shop.verification import verify_record
from tests.jobs.customer_desk import seen
from tests.jobs.desk import Desk
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db


def test_a_correction_is_kept_and_told_without_what_is_personal(desk: Desk, route: SmallRoute) -> None:
    customer = route.job.customer
    page = f"/customers/{customer.pk}/edit/"
    typed = {"name": "Test Customer II", "phone": "555 0101", "email": "two@example.org"}
    assert desk.post(page, {**typed, "seen": seen(desk, page)}).status_code == 302
    customer.refresh_from_db()
    assert (customer.name, customer.phone) == ("Test Customer II", "555 0101")
    told = bytes(Event.objects.filter(stream="shop").latest("sequence").payload).decode()
    assert "Customer II" not in told
    assert "phone" not in told
    assert verify_record().is_whole


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("name", " ", "Enter the name"),
        ("name", "x" * 10_000, "at most 120"),
        ("email", "nobody", "Enter an e-mail address"),
    ],
)
def test_bad_input_is_told_and_kept(
    field: str, value: str, words: str, desk: Desk, route: SmallRoute
) -> None:
    page = f"/customers/{route.job.customer.pk}/edit/"
    typed = {"name": "N", "phone": "kept 123", "seen": seen(desk, page)}
    answer = desk.post(page, {**typed, field: value})
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert "kept 123" in answer.content.decode()
