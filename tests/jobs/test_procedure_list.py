"""The list of procedures: what is in force, found and sorted by the address, no slower with more of them."""

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shop.models import Role
from tests.jobs.procedure_desk import EVERYBODY, LOOKERS, desk_of, kept
from tests.jobs.procedure_texts import PROCEDURE_TEXT, changed

pytestmark = pytest.mark.django_db
ADDRESS = reverse("jobs:procedure_list")


def another(code: str, name: str = "Another clip") -> bytes:
    text = PROCEDURE_TEXT.replace("code: FC-T1", f"code: {code}")
    return text.replace("name: Test clip, bolted and welded", f"name: {name}").encode()


def codes(**query: str) -> list[str]:
    answer = desk_of(Role.FABRICATOR).get(ADDRESS, query)
    assert answer.status_code == 200
    return [line.procedure.code for line in answer.context["page"].lines]


def test_empty_list_says_what_will_be_here() -> None:
    said = desk_of(Role.LEAD).get(ADDRESS).content.decode()
    assert "There is no procedure yet." in said


@pytest.mark.parametrize("role", EVERYBODY)
def test_everybody_looks_and_writers_bring_in(role: str) -> None:
    kept()
    said = desk_of(role).get(ADDRESS).content.decode()
    assert "Test clip, bolted and welded" in said
    assert (reverse("jobs:procedure_bring_in") in said) == (role not in LOOKERS)


def test_revisions_are_told_apart() -> None:
    kept(release=True)
    kept(changed("revision: A", "revision: B"), release=True)
    kept(changed("revision: A", "revision: C"))
    (line,) = desk_of(Role.LEAD).get(ADDRESS).context["page"].lines
    assert line.released.revision == "B"
    assert [r.revision for r in line.drafts] == ["C"]
    assert [r.revision for r in line.superseded] == ["A"]
    assert line.newest.revision == "B"


def test_every_word_must_be_found() -> None:
    kept()
    kept(another("FC-T2", "Bolted only"))
    assert codes(q="bolted") == ["FC-T1", "FC-T2"]
    assert codes(q="BOLTED only") == ["FC-T2"]
    assert codes(q="t1 welded") == ["FC-T1"]
    assert codes(q="nothing") == []


def test_sorting_lives_in_the_address() -> None:
    kept(another("FC-T1", "Zinc"))
    kept(another("FC-T2", "Alder"))
    assert codes(sort="name") == ["FC-T2", "FC-T1"]
    assert codes(sort="-code") == ["FC-T2", "FC-T1"]
    assert codes(sort="password") == ["FC-T1", "FC-T2"]


def test_signed_out_is_asked_to_sign_in(client: Client) -> None:
    answer = client.get(ADDRESS)
    assert (answer.status_code, answer.url) == (302, f"{reverse('shop:sign_in')}?next={ADDRESS}")


def test_queries_do_not_grow_with_procedures_and_revisions() -> None:
    desk = desk_of(Role.LEAD)
    kept(release=True)
    with CaptureQueriesContext(connection) as few:
        desk.get(ADDRESS)
    for number in range(2, 8):
        kept(another(f"FC-T{number}"), release=number % 2 == 0)
    kept(changed("revision: A", "revision: B"), release=True)
    with CaptureQueriesContext(connection) as many:
        assert len(desk.get(ADDRESS).context["page"].lines) == 7
    assert len(many) == len(few)
