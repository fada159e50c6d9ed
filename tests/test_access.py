"""Every address and method as everybody: each answers as the table of actions says, none is missing there."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

import pytest
import time_machine
from django.core.cache import cache
from django.db import transaction
from django.http import HttpResponse
from django.test import Client, override_settings
from django.urls import URLPattern, URLResolver, get_resolver, reverse
from django.urls.converters import IntConverter, UUIDConverter

from jobs.customer_link.links import make_link, revoke_link
from jobs.models import Job
from shop.actions import ACTIONS, ANYBODY, EVERYONE, LINK, TABLET, Action, Sees
from shop.documents.models import Document
from shop.models import Bay, Person, Role
from shop.tablets import COOKIE, assign, begin_turn, give_credential, revoke
from tests.jobs.desk import PIN, another_car, give_pins
from tests.jobs.small_route import NOW, SmallRoute

pytestmark = pytest.mark.django_db
METHODS = ("GET", "POST", "DELETE")
# The others are one to us; the manager tries them all.
MORE_METHODS = {"ash": ("PUT", "PATCH")}
STAFF = {"wren": Role.SERVICE_WRITER, "fenn": Role.FABRICATOR, "lind": Role.LEAD, "pike": Role.PARTS_CLERK}
STAFF |= {"ash": Role.MANAGER}
ACTORS = [*STAFF, "tablet", "revoked tablet", "link", "revoked link", "nobody"]
MADE_UP = UUID(int=7)
# What is sent where an empty form would not be told from a wrong address.
SENT = {
    "jobs:tablet_entry": "kind=start&subject=T10",
    "jobs:tablet_release": "kind=release&subject=release",
}
FORM = "application/x-www-form-urlencoded"


@dataclass
class World:
    """One car in a bay with its tablet, another elsewhere, a private link: enough for every address."""

    route: SmallRoute
    cookies: dict[str, dict[str, str]] = field(default_factory=dict)
    tokens: dict[str, str] = field(default_factory=dict)
    other: int = 0
    papers: dict[str, UUID] = field(default_factory=dict)

    def values(self, name: str, pattern: URLPattern, actor: str) -> dict[str, Any]:
        """What stands in the address: things that are there where we know them, else made-up ones."""
        known: dict[str, Any] = {
            "jobs": {"number": self.route.job.number, "code": "T10", "revision": "A"},
            "parts": {"number": "K-9", "code": "KIT-9", "revision": "A"},
            "documents": {"document_id": self.papers["own"]},
            "shop": {"pk": 999_999},
        }.get(name.partition(":")[0], {})
        known = {**known, "token": self.tokens.get(actor, "x" * 43)}
        if name.startswith("jobs:procedure"):
            known["code"] = "P-9"
        return {
            kwarg: known.get(kwarg, _made_up(converter))
            for kwarg, converter in pattern.pattern.converters.items()
        }

    def ask(self, actor: str, method: str, address: str, sent: str = "") -> HttpResponse:
        """One request, after which nothing is changed."""
        client = Client(raise_request_exception=False)
        for name, value in self.cookies.get(actor, {}).items():
            client.cookies[name] = value
        cache.clear()
        with undone():
            answer = client.generic(method, address, sent, content_type=FORM)
            if answer.headers.get("Location") == reverse("jobs:tablet"):
                answer = client.get(reverse("jobs:tablet"))  # to whoever is no tablet it says so
            return answer


@contextmanager
def undone() -> Iterator[None]:
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


def _made_up(converter: Any) -> Any:
    if isinstance(converter, IntConverter):
        return 7
    return MADE_UP if isinstance(converter, UUIDConverter) else "x"


@pytest.fixture(scope="module")
def world(django_db_setup: None, django_db_blocker: Any) -> Iterator[World]:
    with (
        django_db_blocker.unblock(),
        undone(),
        override_settings(SESSION_ENGINE="django.contrib.sessions.backends.signed_cookies"),
        time_machine.travel(NOW, tick=False),
    ):
        yield _world()


def _world() -> World:
    made = World(SmallRoute())
    route = made.route
    give_pins(route)
    made.other = another_car(route)
    Job.objects.filter(number=made.other).update(bay=Bay.objects.create(number=2, name="Second bay"))
    for who in STAFF:
        client = Client()
        client.force_login(route.people[who])
        made.cookies[who] = {name: morsel.value for name, morsel in client.cookies.items()}
    for actor in ("tablet", "revoked tablet"):
        tablet, token = assign(route.job.bay, by=route.people["ash"], now=route.now)
        response = HttpResponse()
        give_credential(response, token)
        made.cookies[actor] = {COOKIE: response.cookies[COOKIE].value}
        begin_turn(tablet, route.people["fenn"], PIN, now=route.now)
        if actor == "revoked tablet":
            revoke(tablet, by=route.people["ash"], now=route.now)
    for actor in ("link", "revoked link"):
        link, made.tokens[actor] = make_link(
            route.job, wish=UUID(int=len(made.tokens)), by=route.people["wren"], now=route.now
        )
        if actor == "revoked link":
            revoke_link(link, by=route.people["wren"], now=route.now)
    for whose, number in (("own", route.job.number), ("other", made.other)):
        paper = Document.objects.create(
            kind="traveler",
            stream=f"job/{number}",
            issue=1,
            asked_by=route.people["wren"],
            asked_at=route.now,
        )
        made.papers[whose] = paper.pk
    return made


def addresses() -> dict[str, URLPattern]:
    return dict(_addresses(get_resolver(), ""))


def _addresses(resolver: URLResolver, space: str) -> Iterator[tuple[str, URLPattern]]:
    for entry in resolver.url_patterns:
        if isinstance(entry, URLPattern):
            yield f"{space}{entry.name}", entry
        else:
            yield from _addresses(entry, f"{space}{entry.namespace}:" if entry.namespace else space)


def is_let_in(answer: HttpResponse, *, at: str) -> bool:
    """Whether somebody got further than the guard: a wrong form or a missing thing is told behind it."""
    if answer.status_code in {301, 302}:
        to = answer.headers["Location"]
        doors = (reverse("shop:sign_in"), reverse("admin:login"))
        return not to.startswith(doors) or at == "shop:sign_out"
    if at.startswith("jobs:customer_link") and answer.status_code == 404:
        return bool(answer.resolver_match) and "gone" not in str([t.name for t in answer.templates])
    return answer.status_code not in {401, 403, 405}


def groups_of(actor: str) -> frozenset[str]:
    return frozenset({STAFF.get(actor, actor)}) & (EVERYONE | TABLET | LINK)


def expected(action: Action, method: str, actor: str) -> bool:
    who = action.who_may(method)
    return who is not None and (who == ANYBODY or bool(who & groups_of(actor)))


def test_every_address_is_in_the_table_and_nothing_else_is() -> None:
    ours = {name for name in addresses() if not name.startswith("admin:")}
    assert sorted(ours - set(ACTIONS)) == [], "add these to the table in shop/actions.py"
    assert sorted(set(ACTIONS) - ours) == [], "the table names addresses that are not there"


@pytest.mark.parametrize("actor", ACTORS)
def test_every_address_answers_as_the_table_says(actor: str, world: World) -> None:
    wrong = []
    for name, pattern in addresses().items():
        if name not in ACTIONS or name.startswith("admin:"):
            continue
        address = reverse(name, kwargs=world.values(name, pattern, actor))
        for method in (*METHODS, *MORE_METHODS.get(actor, ())):
            answer = world.ask(actor, method, address)
            let_in = is_let_in(answer, at=name)
            if answer.status_code >= 500 or let_in != expected(ACTIONS[name], method, actor):
                wrong.append(
                    f"{method} {name}: {answer.status_code}, {'let in' if let_in else 'turned away'}"
                )
    assert wrong == []


@pytest.mark.parametrize("actor", ["lind", "nobody"])
def test_the_administration_pages_are_for_the_manager_alone(actor: str, world: World) -> None:
    """The guard is one for all of them; the roles are told apart below."""
    let_in = []
    for name, pattern in addresses().items():
        if name.startswith("admin:") and pattern.name not in {"login", "logout", "jsi18n"} and pattern.name:
            values = {kwarg: _made_up(each) for kwarg, each in pattern.pattern.converters.items()}
            values |= {"app_label": "shop"} if name == "admin:app_list" else {}
            if is_let_in(world.ask(actor, "GET", reverse(name, kwargs=values)), at=name):
                let_in.append(name)
    assert let_in == []


@pytest.mark.parametrize("who", STAFF)
def test_the_role_opens_the_administration_pages_not_a_flag_alone(who: str, world: World) -> None:
    Person.objects.filter(pk=world.route.people[who].pk).update(is_staff=True, is_superuser=True)
    assert is_let_in(world.ask(who, "GET", "/admin/"), at="admin:index") == (who == "ash")


def test_a_tablet_gets_at_nothing_of_a_car_in_another_bay(world: World) -> None:
    """Everything that the table gives a tablet of its own bay's car only."""
    names = [name for name, action in ACTIONS.items() if action.sees == Sees.ITS_BAY]
    assert names
    for name in names:
        pattern = addresses()[name]
        values = world.values(name, pattern, "tablet")
        theirs = {"number": world.other, "document_id": world.papers["other"]}
        elsewhere = {**values, **{kwarg: value for kwarg, value in theirs.items() if kwarg in values}}
        for method in ACTIONS[name].methods:
            own, others = (
                world.ask("tablet", method, reverse(name, kwargs=each), SENT.get(name, ""))
                for each in (values, elsewhere)
            )
            assert own.status_code != 404, name
            assert others.status_code == 404, name
