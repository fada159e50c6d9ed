"""Who may open and do what at a desk, as a table."""

import pytest

from tests.jobs.desk import PIN, Desk, give_pins
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db
EVERYONE = {"wren", "fenn", "lind", "pike", "ash"}

PAGES = [
    ("/floor/", EVERYONE),
    ("/jobs/", EVERYONE),
    ("/jobs/1001/", EVERYONE),
    ("/jobs/1001/I10/", EVERYONE),
    ("/witness/", EVERYONE),
    ("/jobs/open/", {"wren", "ash"}),
    ("/shop/tablets/", {"ash"}),
]
ENTRIES = [
    (
        "authority",
        "authority",
        {"scope": "All", "given_by": "x", "way": "typed_name"},
        {"wren", "lind", "ash"},
    ),
    ("start", "I10", {}, {"wren", "fenn", "lind"}),
    ("move", "move", {"bay": "", "stands": "on_wheels"}, {"lind", "ash"}),
    ("problem", "I10", {"text": "Rust"}, EVERYONE),
]


@pytest.mark.parametrize("who", sorted(EVERYONE))
@pytest.mark.parametrize(("path", "may"), PAGES, ids=[path for path, _ in PAGES])
def test_a_page_opens_for_its_roles_alone(path: str, may: set[str], who: str, route: SmallRoute) -> None:
    assert Desk(route, who).get(path).status_code == (200 if who in may else 403)


@pytest.mark.parametrize("path", [path for path, _ in PAGES])
def test_no_page_opens_without_signing_in(path: str, route: SmallRoute) -> None:
    desk = Desk(route, "ash")
    desk.client.logout()
    assert desk.get(path).headers["Location"] == f"/sign-in/?next={path}"


@pytest.mark.parametrize("who", sorted(EVERYONE))
@pytest.mark.parametrize(("kind", "subject", "fields", "may"), ENTRIES, ids=[e[0] for e in ENTRIES])
def test_an_entry_is_taken_from_its_roles_alone(
    kind: str, subject: str, fields: dict[str, str], may: set[str], who: str, route: SmallRoute
) -> None:
    give_pins(route)
    answer = Desk(route, who).enter(kind, subject, pin=PIN, **fields)
    assert answer.status_code == (302 if who in may else 422)
