"""A page that refreshes itself, unchanged, is not sent again, and asks next to nothing to find that out."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.jobs.desk import Desk
from tests.jobs.small_route import SmallRoute

SIGNING_IN = ("django_session", "shop_person")


@pytest.mark.parametrize(("page", "who"), [("/floor/", "moss"), ("/witness/", "lind")])
def test_unchanged_it_is_a_304_at_two_queries_beyond_signing_in(
    route: SmallRoute, page: str, who: str
) -> None:
    route.up_to("C20")
    desk = Desk(route, who)
    desk.get(page)  # the first answer gives the browser its token for forms
    etag = desk.get(page).headers["ETag"]
    with CaptureQueriesContext(connection) as asked:
        assert desk.get(page, **{"If-None-Match": etag}).status_code == 304
    told = [q["sql"] for q in asked if not any(f'FROM "{name}"' in q["sql"] for name in SIGNING_IN)]
    assert len(told) <= 2, "\n".join(told)
