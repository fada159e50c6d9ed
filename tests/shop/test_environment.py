"""Settings from the environment: what counts, what is refused."""

import stat
from pathlib import Path

import pytest
from django.core.exceptions import ImproperlyConfigured

from shop import environment

NAME = "SCRIBELINE_TRIED"


@pytest.mark.parametrize(
    ("written", "meant"),
    [("1", True), ("Yes", True), ("on", True), ("0", False), ("No", False), ("off", False), ("", False)],
)
def test_flag(monkeypatch: pytest.MonkeyPatch, written: str, meant: bool) -> None:
    monkeypatch.setenv(NAME, written)
    assert environment.flag(NAME, default=not meant) is meant


@pytest.mark.parametrize("default", [True, False])
def test_flag_not_set_is_the_default(default: bool) -> None:
    assert environment.flag(NAME, default=default) is default


def test_flag_refuses_what_is_neither(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(NAME, "perhaps")
    with pytest.raises(ImproperlyConfigured, match="SCRIBELINE_TRIED='perhaps' is neither yes nor no"):
        environment.flag(NAME)


def test_words_are_parted_by_commas_or_blanks(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(NAME, "bench.example, 192.0.2.7  lift.example")
    assert environment.words(NAME, "") == ["bench.example", "192.0.2.7", "lift.example"]


@pytest.mark.parametrize("url", ["redis://127.0.0.1:6379/0", "rediss://bench.example/1", ""])
def test_broker(monkeypatch: pytest.MonkeyPatch, url: str) -> None:
    monkeypatch.setenv("SCRIBELINE_BROKER", url)
    assert environment.broker() == url


def test_broker_refuses_other_services(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SCRIBELINE_BROKER", "amqp://bench.example")
    with pytest.raises(ImproperlyConfigured, match="does not begin with redis://"):
        environment.broker()


def test_door_refuses_as_settings_do(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PORT", "none")
    with pytest.raises(ImproperlyConfigured, match="PORT=none"):
        environment.door()


def test_secret_is_made_once_and_for_our_eyes_only(tmp_path: Path) -> None:
    path = tmp_path / "var" / "secret-key"
    made = environment.secret(NAME, path)
    assert len(made) >= 50
    assert environment.secret(NAME, path) == made
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert list(path.parent.iterdir()) == [path]


def test_secret_given_makes_no_file(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv(NAME, "given from outside")
    assert environment.secret(NAME, tmp_path / "secret-key") == "given from outside"
    assert list(tmp_path.iterdir()) == []
