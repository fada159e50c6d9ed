"""Papers of the car on the short route, as they would be drawn now."""

import re
from collections.abc import Callable
from html import unescape
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from django.template.loader import render_to_string
from django.utils import timezone

from shop.documents.asking import ask
from shop.documents.kinds import Paper
from shop.documents.making import read_record
from shop.documents.models import Document
from shop.models import ShopSettings
from tests.jobs.small_route import SmallRoute

Read = Callable[..., str]
Made = Callable[..., tuple[Document, Paper]]


@pytest.fixture(autouse=True)
def own_media(settings: Any, tmp_path: Path) -> None:
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def made(route: SmallRoute, monkeypatch: pytest.MonkeyPatch) -> Made:
    """A paper of one kind, read from the record as it stands now."""
    monkeypatch.setattr("shop.documents.asking.current_app.send_task", lambda *_a, **_o: None)

    def make(kind: str, size: str = "Letter") -> tuple[Document, Paper]:
        wren = route.people["wren"]
        document = ask(kind, route.job.stream, by=wren, now=route.now, options={"paper": size})
        with timezone.override(ZoneInfo(ShopSettings.current().zone)):
            return document, read_record(document)

    return make


@pytest.fixture
def read(made: Made) -> Read:
    """The words of a paper in one line."""

    def words(kind: str) -> str:
        _document, paper = made(kind)
        with timezone.override(ZoneInfo(ShopSettings.current().zone)):
            html = render_to_string(
                paper.template, {**paper.context, "title": paper.title, "sheet": "letter"}
            )
        return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())

    return words
