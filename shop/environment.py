"""Settings read from the environment, refused with a clear word when they make no sense."""

import os
import secrets
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

from shop.front_door import FrontDoor, FrontDoorError, front_door

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


def seconds(name: str, default: float) -> float:
    """A number of seconds greater than nothing."""
    given = text(name, str(default))
    try:
        found = float(given)
    except ValueError:
        found = 0.0
    if not 0 < found < 3600:
        raise ImproperlyConfigured(f"{name}={given!r} is no number of seconds up to an hour")
    return found


def count(name: str, default: int, *, most: int) -> int:
    """A whole number from 1 to `most`."""
    given = text(name, str(default))
    if not (given.isascii() and given.isdecimal() and 1 <= int(given[:9]) <= most):
        raise ImproperlyConfigured(f"{name}={given!r} is no whole number from 1 to {most}")
    return int(given)


def words(name: str, default: str) -> list[str]:
    """A list of words separated by commas or blanks."""
    return text(name, default).replace(",", " ").split()


def door() -> FrontDoor:
    """Where HOST and PORT say that the site is."""
    try:
        return front_door(os.environ)
    except FrontDoorError as error:
        raise ImproperlyConfigured(str(error)) from error


def broker() -> str:
    """Where the queue is; empty for the folder that needs no other service."""
    url = text("SCRIBELINE_BROKER", "")
    if url and not url.startswith(("redis://", "rediss://")):
        raise ImproperlyConfigured(f"SCRIBELINE_BROKER={url!r} does not begin with redis:// or rediss://")
    return url


def folder(path: Path) -> Path:
    """A folder that is there."""
    path.mkdir(parents=True, exist_ok=True)
    return path


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
