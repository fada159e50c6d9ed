"""Making ready again does only what has to be done again."""

from pathlib import Path
from typing import Any

import pytest

from shop.management.commands import make_ready
from shop.management.commands.make_ready import collect_static, static_fingerprint


@pytest.fixture
def own_static(settings: Any, tmp_path: Path) -> Path:
    """A small folder of static files in place of ours."""
    source = tmp_path / "static"
    source.mkdir()
    (source / "plate.css").write_text("body { margin: 0 }")
    settings.STATICFILES_DIRS = [source]
    settings.STATIC_ROOT = tmp_path / "collected"
    settings.STATICFILES_FINDERS = ["django.contrib.staticfiles.finders.FileSystemFinder"]
    return source


@pytest.fixture
def collected(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Which collecting commands were called; they still do their work."""
    calls: list[str] = []
    call = make_ready.call_command

    def noted(name: str, *args: Any, **options: Any) -> Any:
        calls.append(name)
        return call(name, *args, **options)

    monkeypatch.setattr(make_ready, "call_command", noted)
    return calls


def test_static_files_are_collected_once(own_static: Path, collected: list[str], tmp_path: Path) -> None:
    collect_static()
    collect_static()
    assert collected == ["collectstatic"]
    assert (tmp_path / "collected" / "plate.css").read_text() == "body { margin: 0 }"


def test_static_files_are_collected_again_when_one_changes(own_static: Path, collected: list[str]) -> None:
    collect_static()
    (own_static / "plate.css").write_text("body { margin: 1px }")
    collect_static()
    assert collected == ["collectstatic", "collectstatic"]


def test_a_new_static_file_changes_the_fingerprint(own_static: Path) -> None:
    before = static_fingerprint()
    (own_static / "rule.css").write_text("")
    assert static_fingerprint() != before
