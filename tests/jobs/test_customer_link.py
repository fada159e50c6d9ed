"""The customer's private link: what it shows, what it takes, and what it never gives away."""

import datetime as dt
import re
import uuid
from decimal import Decimal
from typing import Any

import pytest
import time_machine
from django.core.cache import caches
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from jobs.customer_link.links import make_link, revoke_link
from jobs.models import Authority, CustomerLink, Estimate, ExtraWork, Knocks
from shop.models import Entry, Event
from shop.verification import verify_record
from tests.jobs.desk import another_car
from tests.jobs.money.till import answer, ask_extra, offered, taxed, text_of
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db


class Phone:
    """The customer's phone with the link that the desk made."""

    def __init__(self, route: SmallRoute) -> None:
        self.route, self.client = route, Client()
        self.link, self.token = make_link(
            route.job, wish=uuid.uuid4(), by=route.people["wren"], now=route.now
        )

    @property
    def path(self) -> str:
        return reverse("jobs:customer_link", args=[self.token])

    def get(self, path: str = "") -> HttpResponse:
        with time_machine.travel(self.route.now, tick=False):
            return self.client.get(path or self.path)

    def post(self, **data: Any) -> HttpResponse:
        posted = {
            "entry_id": str(uuid.uuid4()),
            "answer": "yes",
            "given_by": "Ada Testcase",
            "saw": "",
            **data,
        }
        with time_machine.travel(self.route.now, tick=False):
            return self.client.post(f"{self.path}answer/", posted)


@pytest.fixture
def phone(route: SmallRoute) -> Phone:
    return Phone(route)


def test_the_secret_is_in_the_address_alone(phone: Phone, route: SmallRoute) -> None:
    row = CustomerLink.objects.get()
    assert phone.token not in str(vars(row))
    assert not [e for e in Event.objects.all() if phone.token.encode() in bytes(e.payload)]
    assert len(phone.token) == 43
    assert row.expires_at - row.made_at == dt.timedelta(days=30)
    _other, token = make_link(route.job, wish=uuid.uuid4(), by=route.people["wren"], now=route.now)
    assert token != phone.token


def test_it_is_found_by_no_engine_kept_by_no_cache_and_told_to_nobody(phone: Phone) -> None:
    for said in (phone.get(), phone.get("/c/unknown/")):
        assert said["X-Robots-Tag"].startswith("noindex")
        assert said["Cache-Control"] == "no-store, private"
        assert said["Referrer-Policy"] == "same-origin"


def test_it_shows_the_car_and_no_name_phone_plate_or_serial(phone: Phone, route: SmallRoute) -> None:
    vehicle, customer = route.job.vehicle, route.job.customer
    vehicle.plate, vehicle.serial, customer.phone = "PLATE-7", "SERIAL-7", "555-0107"
    vehicle.save()
    customer.save()
    said = text_of(phone.get())
    assert "1966 Test car" in said
    assert "Nothing waits for you." in said
    for hidden in ("PLATE-7", "SERIAL-7", "555-0107", "Test customer", "Sign out", "/jobs/1001/"):
        assert hidden not in said


def test_a_link_that_does_not_hold_tells_nothing_of_why(phone: Phone, route: SmallRoute) -> None:
    pages = {text_of(phone.get(f"/c/{'A' * 43}/")), text_of(phone.get("/c/short/"))}
    revoke_link(phone.link, by=route.people["wren"], now=route.now)
    pages.add(text_of(phone.get()))
    fresh = Phone(route)
    route.later(days=31)
    late = fresh.get()
    pages.add(text_of(late))
    assert late.status_code == 404
    # Only the token against forged forms differs from one page to the next.
    assert len({re.sub(r"[A-Za-z0-9]{64}", "", page) for page in pages}) == 1
    assert "Test car" not in pages.pop()
    assert fresh.post(subject="estimate/1").status_code == 404


def test_the_work_its_price_and_its_cautions_are_shown_and_a_yes_allows_it(
    phone: Phone, route: SmallRoute
) -> None:
    taxed()
    offered(route)
    said = text_of(phone.get())
    for words in ("4,675.80 USD", "1,402.74 USD", "Take the front off", "WARNING", "cannot be put back",
                  "Yes, do it, and cut the car for it", "once you have allowed the work"):  # fmt: skip
        assert words in said
    assert phone.post(subject="estimate/1").status_code == 302
    made = Authority.objects.get()
    assert (made.way, made.link, made.allows_cutting) == ("link", phone.link, True)
    assert (made.amount_limit, made.given_by) == (Decimal("4675.80"), "Ada Testcase")
    entry = made.entry
    assert (entry.signed_how, entry.signer) == ("link", route.people["wren"])
    assert "given_by" not in entry.payload
    assert entry.personal == {"given_by": "Ada Testcase"}
    assert not [e for e in Event.objects.all() if b"Ada" in bytes(e.payload)]
    assert "Nothing waits for you." in text_of(phone.get())
    assert route.record.allows_cutting
    assert verify_record().is_whole


def test_sent_twice_it_is_one_answer(phone: Phone, route: SmallRoute) -> None:
    ask_extra(route)
    one = {"entry_id": str(uuid.uuid4()), "subject": "extra_work/1", "answer": "no"}
    assert [phone.post(**one).status_code for _ in range(2)] == [302, 302]
    assert ExtraWork.objects.get().answer == "no"
    assert Entry.objects.filter(kind="extra_work_answer").count() == 1
    assert not Authority.objects.exists()
    assert "You said no." in text_of(phone.get())


def test_without_name_or_word_it_is_told_and_what_was_typed_is_kept(phone: Phone, route: SmallRoute) -> None:
    offered(route)
    said = phone.post(subject="estimate/1", answer="", given_by="Ada Testcase")
    assert said.status_code == 422
    assert "Say yes or no" in text_of(said)
    assert 'value="Ada Testcase"' in text_of(said)
    said = phone.post(subject="estimate/1", given_by=" ")
    assert "Say who allowed it" in text_of(said)
    assert 'value="yes" checked' in text_of(said)
    long = phone.post(subject="estimate/1", given_by="x" * 10_000)
    assert long.status_code == 422
    assert Estimate.objects.get().state == "offered"


@pytest.mark.parametrize("subject", ["", "T10", "authority", "extra_work/1", "estimate/9", "estimate/1 OR 1"])
def test_it_takes_nothing_but_answers_to_what_was_asked(
    phone: Phone, route: SmallRoute, subject: str
) -> None:
    offered(route)
    said = phone.post(subject=subject, scope="All", allows_cutting="yes")
    assert said.status_code in {409, 422}
    assert not Authority.objects.exists()
    assert Estimate.objects.get().state == "offered"


def test_a_link_answers_for_its_own_job_alone(phone: Phone, route: SmallRoute) -> None:
    from jobs.models import Job

    other = Job.objects.get(number=another_car(route))
    elsewhere, _token = make_link(other, wish=uuid.uuid4(), by=route.people["wren"], now=route.now)
    offered(route)
    sent = route.send(
        "estimate_answer", "estimate/1", "wren", "link",
        estimate="1", answer="yes", given_by="A", link=str(elsewhere.pk),
    )  # fmt: skip
    assert (sent.accepted, sent.data["message"]) == (False, "This link does not hold any more")


def test_what_the_desk_recorded_meanwhile_is_told(phone: Phone, route: SmallRoute) -> None:
    offered(route)
    answer(route, 1, "no")
    late = phone.post(subject="estimate/1")
    assert late.status_code == 409
    assert "answered in the meantime" in text_of(late)
    assert not Authority.objects.exists()


def test_whoever_made_the_link_may_have_left(phone: Phone, route: SmallRoute) -> None:
    wren = route.people["wren"]
    wren.is_active = False
    wren.save()
    offered(route)
    assert phone.post(subject="estimate/1").status_code == 302


def test_stage_and_date_are_said_in_words_and_never_to_the_day(phone: Phone, route: SmallRoute) -> None:
    route.up_to("C10")
    said = text_of(phone.get())
    assert "Your car is in Cutting." in said
    assert 'aria-current="step"><span>Cutting</span>' in said
    assert "Probably <b>" in said
    assert "within the next few days" in said or "in about" in said
    ask_extra(route)
    assert "hangs on your answer above" in text_of(phone.get())


def test_only_photos_of_what_is_asked_for_are_shown(phone: Phone, route: SmallRoute) -> None:
    taken = route.send("photo", "photo/1", "lind", **_stored())
    hidden = route.send("photo", "photo/2", "lind", **_stored())
    ask_extra(route, photos=taken.data["photo"])
    assert phone.get(f"{phone.path}photos/{taken.data['photo']}/").status_code == 200
    assert phone.get(f"{phone.path}photos/{hidden.data['photo']}/").status_code == 404


def _stored() -> dict[str, str]:
    import hashlib

    from django.core.files.base import ContentFile
    from django.core.files.storage import default_storage

    data = uuid.uuid4().bytes
    name = default_storage.save("photos/test.jpg", ContentFile(data))
    return {"file": name, "sha256": hashlib.sha256(data).hexdigest()}


def test_whoever_tries_addresses_is_slowed_down(phone: Phone) -> None:
    statuses = [phone.get(f"/c/{n:043d}/").status_code for n in range(21)]
    assert statuses == [404] * 20 + [429]
    assert phone.get().status_code == 429
    assert phone.get()["Retry-After"] == "600"


def test_tries_are_counted_for_the_whole_shop_over_a_restart(phone: Phone, route: SmallRoute) -> None:
    """Whoever answers the next try need not be the process that answered the last one."""
    statuses = []
    for n in range(21):
        for memory in caches.all():
            memory.clear()
        phone.client = Client()
        statuses.append(phone.get(f"/c/{n:043d}/").status_code)
    assert statuses == [404] * 20 + [429]
    route.later(minutes=11)
    assert phone.get().status_code == 200
    assert Knocks.objects.count() == 1


def test_answers_come_at_a_human_pace(phone: Phone, route: SmallRoute) -> None:
    offered(route)
    statuses = [phone.post(subject="estimate/1", given_by="").status_code for _ in range(21)]
    assert statuses == [422] * 20 + [429]


def test_a_forged_form_is_refused(phone: Phone, route: SmallRoute) -> None:
    offered(route)
    phone.client = Client(enforce_csrf_checks=True)
    assert phone.post(subject="estimate/1").status_code == 403
