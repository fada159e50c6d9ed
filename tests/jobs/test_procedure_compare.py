"""The page that compares two revisions: figures old and new, and what to say where there is only one."""

import pytest
from django.urls import reverse

from shop.models import Role
from tests.jobs.procedure_desk import desk_of, kept
from tests.jobs.procedure_texts import changed

pytestmark = pytest.mark.django_db
ADDRESS = reverse("jobs:procedure_compare", args=["FC-T1"])


def said(query: str = "") -> str:
    answer = desk_of(Role.FABRICATOR).get(ADDRESS + query)
    assert answer.status_code == 200
    return answer.content.decode()


def test_one_revision_alone_says_what_will_be_here() -> None:
    kept(release=True)
    assert "There is only one revision" in said()


def test_a_draft_is_compared_with_what_is_in_force() -> None:
    kept(release=True)
    tighter = changed("revision: A", "revision: B").replace(
        b"41 1/4 \xc2\xb11/8 in", b"41 1/4 \xc2\xb11/16 in"
    )
    kept(tighter)
    page = said()
    assert "tighter" in page
    assert 'id="T10.2"' in page
    assert "They say the same." in said("?old=A&new=A")
    assert "looser" in said("?old=B&new=A")
