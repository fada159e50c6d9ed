"""A state of the short route that is laid down is the one that was written, and the work goes on from it."""

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from tests.factories import PersonFactory
from tests.jobs import kept_states
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def nothing_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kept_states, "_WAYS", {})


def emptied() -> None:
    """As a test leaves the database to the next one."""
    untouched = {table: [] for table in kept_states._tables()}
    written = kept_states.take(None, ())
    over = kept_states.State({**written.rows, **untouched}, written.known, ())
    kept_states.lay_down(over, over=written)
    assert kept_states.is_untouched()


def test_what_is_laid_down_is_what_was_written() -> None:
    written = SmallRoute()
    written.up_to("A10")
    before = kept_states.take(None, ()).rows
    emptied()
    again = SmallRoute()
    again.up_to("A10")
    assert again._at is written._at
    assert kept_states.take(None, ()).rows == before
    assert again.now == written.now
    assert again.job == written.job
    assert again.photos
    assert all(default_storage.exists(name) for name in again.photos)
    assert again.send("start", "A10", "fenn").accepted


def test_where_anything_else_was_written_the_car_goes_the_way_itself() -> None:
    SmallRoute().up_to("T20")
    emptied()
    PersonFactory()
    route = SmallRoute()
    assert route._way is None
    emptied()
    route = SmallRoute()
    PersonFactory()
    route.up_to("T20")
    assert route._at is route._way.begun  # type: ignore[union-attr]
    assert route.send("start", "T20", "fenn").accepted


@pytest.mark.parametrize("spoiled", [None, b"another test's"])
def test_a_photo_that_another_test_has_spoiled_is_put_back(spoiled: bytes | None) -> None:
    written = SmallRoute()
    written.up_to("A10")
    (name,) = set(written.photos)
    emptied()
    default_storage.delete(name)
    if spoiled:
        assert default_storage.save(name, ContentFile(spoiled)) == name
    SmallRoute().up_to("A10")
    assert default_storage.open(name).read() == kept_states.PHOTO
