"""Signing in at a desk and the way to each person's first page; pages that say what went wrong."""

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import Person, Role
from tests.factories import PersonFactory

pytestmark = pytest.mark.django_db
PASSWORD = "a long enough password"


@pytest.fixture
def person() -> Person:
    made: Person = PersonFactory(username="tester", role=Role.SERVICE_WRITER)
    made.set_password(PASSWORD)
    made.save()
    return made


def test_name_and_password_lead_home(person: Person, client: Client) -> None:
    answer = client.post(reverse("shop:sign_in"), {"username": "tester", "password": PASSWORD})
    assert answer.headers["Location"] == reverse("shop:home")


def test_a_wrong_password_says_so_and_keeps_the_name(person: Person, client: Client) -> None:
    answer = client.post(reverse("shop:sign_in"), {"username": "tester", "password": "wrong"})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "do not belong together" in page
    assert 'value="tester"' in page
    assert 'value="wrong"' not in page


def test_an_empty_form_says_what_is_missing_beside_each_field(client: Client) -> None:
    page = client.post(reverse("shop:sign_in"), {}).content.decode()
    assert "Enter your sign-in name" in page
    assert "Enter your password" in page


def test_who_was_going_somewhere_gets_there(person: Person, client: Client) -> None:
    asked = client.get(reverse("jobs:floor"))
    page = client.get(asked.headers["Location"]).content.decode()
    assert 'name="next" value="/floor/"' in page
    answer = client.post(
        reverse("shop:sign_in"), {"username": "tester", "password": PASSWORD, "next": "/floor/"}
    )
    assert answer.headers["Location"] == "/floor/"


@pytest.mark.parametrize("elsewhere", ["https://elsewhere.invalid/", "//elsewhere.invalid/", "javascript:x"])
def test_nobody_is_led_to_another_site(elsewhere: str, person: Person, client: Client) -> None:
    data = {"username": "tester", "password": PASSWORD, "next": elsewhere}
    assert client.post(reverse("shop:sign_in"), data).headers["Location"] == reverse("shop:home")


def test_signing_out_takes_a_post(person: Person, client: Client) -> None:
    client.force_login(person)
    assert client.get(reverse("shop:sign_out")).status_code == 405
    client.post(reverse("shop:sign_out"))
    assert "_auth_user_id" not in client.session


@pytest.mark.parametrize(
    ("role", "page"),
    [
        (Role.SERVICE_WRITER, "jobs:job_list"),
        (Role.FABRICATOR, "jobs:floor"),
        (Role.LEAD, "jobs:witness_queue"),
        (Role.PARTS_CLERK, "parts:order_list"),
        (Role.MANAGER, "jobs:floor"),
    ],
)
def test_home_is_where_the_work_of_the_role_begins(role: str, page: str, client: Client) -> None:
    client.force_login(PersonFactory(role=role))
    assert client.get(reverse("shop:home")).headers["Location"] == reverse(page)


def test_every_page_carries_a_policy_without_inline_script_or_style(client: Client) -> None:
    policy = client.get(reverse("shop:sign_in")).headers["Content-Security-Policy"]
    assert "script-src 'self'" in policy
    assert "style-src 'self'" in policy
    assert "unsafe-inline" not in policy
    assert "unsafe-eval" not in policy


def test_every_answer_tells_caches_of_htmx(client: Client) -> None:
    vary = client.get(reverse("shop:sign_in")).headers["Vary"]
    assert {"HX-Request", "HX-Target"} <= {word.strip() for word in vary.split(",")}


def test_a_page_that_is_not_there_says_so_in_words(person: Person, client: Client) -> None:
    client.force_login(person)
    answer = client.get("/nowhere/")
    assert answer.status_code == 404
    assert "nothing at this address" in answer.content.decode()


def test_a_page_for_others_says_for_whom_it_is(person: Person, client: Client) -> None:
    client.force_login(person)
    answer = client.get(reverse("shop:tablet_list"))
    assert answer.status_code == 403
    assert "This is done by: Manager" in answer.content.decode()


def test_a_form_from_an_old_page_is_told_so(client: Client) -> None:
    strict = Client(enforce_csrf_checks=True)
    answer = strict.post(reverse("shop:sign_in"), {"username": "tester"})
    assert answer.status_code == 403
    assert "too old to be sent" in answer.content.decode()


def test_our_own_fault_is_told_without_the_database(
    person: Person, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_args: object, **_kwargs: object) -> None:
        raise RuntimeError("broken for the test")

    monkeypatch.setattr("shop.views.signing_in.render", broken)
    client.raise_request_exception = False
    answer = client.get(reverse("shop:sign_in"))
    assert answer.status_code == 500
    assert "The fault is the program" in answer.content.decode()


def test_five_wrong_passwords_lock_the_name_from_that_address_alone(person: Person, client: Client) -> None:
    where, right = reverse("shop:sign_in"), {"username": "tester", "password": PASSWORD}
    for _ in range(5):
        client.post(where, {**right, "password": "wrong"})
    locked = client.post(where, right)
    assert locked.status_code == 422
    assert "Five wrong passwords for this name. Try again in 5 min" in locked.content.decode()
    assert client.post(where, right, REMOTE_ADDR="192.0.2.9").status_code == 302


def test_names_that_nobody_has_are_held_back_by_address(client: Client) -> None:
    for number in range(15):
        client.post(reverse("shop:sign_in"), {"username": f"nobody{number}", "password": "wrong"})
    page = client.post(reverse("shop:sign_in"), {"username": "other", "password": "wrong"})
    assert "Too many wrong tries from this device" in page.content.decode()


def test_the_session_is_another_after_signing_in(person: Person, client: Client) -> None:
    session = client.session
    session["before"] = "x"
    session.save()
    client.cookies["sessionid"] = before = session.session_key
    client.post(reverse("shop:sign_in"), {"username": "tester", "password": PASSWORD})
    assert client.cookies["sessionid"].value != before
    assert not type(session)().exists(before)


def test_desks_keep_passwords_by_argon2() -> None:
    from shop import settings as written

    assert written.PASSWORD_HASHERS == ["django.contrib.auth.hashers.Argon2PasswordHasher"]
