"""A paper that needs no car: two lines about a stream, and what the workers would have been told."""

import datetime as dt
from pathlib import Path
from typing import Any

import pytest

from shop.documents import asking, kinds
from shop.documents.kinds import Paper, Subject
from shop.documents.models import Document
from shop.models import Person
from tests.factories import PersonFactory

NOW = dt.datetime(2030, 4, 15, 17, 0, tzinfo=dt.UTC)


def later(**duration: float) -> dt.datetime:
    return NOW + dt.timedelta(**duration)


def bench(stream: str) -> Subject | None:
    family, _slash, number = stream.partition("/")
    return Subject(f"Bench {number}", "/") if family == "bench" else None


def build_slip(document: Document) -> Paper:
    return Paper(
        template="documents/tests/slip.html",
        context={"issue": document.issue, "sequence": document.record_sequence},
        title="Slip",
    )


@pytest.fixture
def slip(monkeypatch: pytest.MonkeyPatch, settings: Any) -> None:
    """A kind of paper for the test alone, with its template."""
    monkeypatch.setattr(kinds, "_kinds", {})
    kinds.register("slip", build_slip, title="Slip", subject=bench)
    here = Path(__file__).parent / "templates"
    settings.TEMPLATES = [{**settings.TEMPLATES[0], "DIRS": [*settings.TEMPLATES[0]["DIRS"], here]}]


@pytest.fixture(autouse=True)
def own_media(settings: Any, tmp_path: Path) -> Path:
    settings.MEDIA_ROOT = tmp_path
    return tmp_path


@pytest.fixture
def sent(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The numbers that were put into the queue."""
    numbers: list[str] = []

    def send_task(name: str, args: list[str], **_options: Any) -> None:
        assert name == asking.RENDER_TASK
        numbers.extend(args)

    monkeypatch.setattr(asking.current_app, "send_task", send_task)
    return numbers


@pytest.fixture
def person(db: None) -> Person:
    return PersonFactory(role="service_writer")


@pytest.fixture
def asked(slip: None, sent: list[str], person: Person) -> Document:
    """A slip that was asked for at NOW."""
    return asking.ask("slip", "bench/1", by=person, now=NOW, options={"paper": "A4"})
