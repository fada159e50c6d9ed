"""Settings read from the environment, refused with a clear word when they make no sense."""

import os
import secrets
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

TRUE = frozenset({"1", "yes", "true", "on"})
FALSE = frozenset({"0", "no", "false", "off", ""})


def flag(name: str, *, default: bool = False) -> bool:
    """A yes-or-no setting."""
    text = os.environ.get(name)
    if text is None:
        return default
    word = text.strip().lower()
    if word in TRUE:
        return True
    if word in FALSE:
        return False
    raise ImproperlyConfigured(f"{name}={text!r} is neither yes nor no")


def text(name: str, default: str) -> str:
    """A text setting; an empty one counts as not set."""
    return os.environ.get(name, "").strip() or default


def number(name: str, default: int, *, low: int, high: int) -> int:
    """A whole number between `low` and `high`."""
    raw = os.environ.get(name, "").strip()
    if not raw:
        return default
    if not raw.isdecimal() or not low <= int(raw) <= high:
        raise ImproperlyConfigured(f"{name}={raw!r} is not a whole number from {low} to {high}")
    return int(raw)


def words(name: str, default: str) -> list[str]:
    """A list of words separated by commas or blanks."""
    return text(name, default).replace(",", " ").split()


def secret(name: str, path: Path) -> str:
    """The secret in the environment, else the one kept at `path`, made on first use."""
    given = os.environ.get(name, "").strip()
    if given:
        return given
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        made = path.with_suffix(f".{os.getpid()}")
        made.write_text(secrets.token_urlsafe(64), encoding="utf-8")
        made.chmod(0o600)
        try:
            os.link(made, path)  # whoever comes second keeps the first one's secret
        except FileExistsError:
            pass
        finally:
            made.unlink()
    return path.read_text(encoding="utf-8").strip()
