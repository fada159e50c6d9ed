"""What is made once in a whole run, however many hands the tests are shared among."""

import fcntl
from collections.abc import Callable
from pathlib import Path

import pytest


class Once:
    """Folders that whoever asks first fills, while the others wait; to be copied, not to be changed."""

    def __init__(self, tmp_path_factory: pytest.TempPathFactory, testrun_uid: str) -> None:
        self.folder = tmp_path_factory.getbasetemp().parent / f"once-{testrun_uid}"
        self.folder.mkdir(exist_ok=True)

    def made(self, name: str, fill: Callable[[Path], None]) -> Path:
        place = self.folder / name
        with (self.folder / f"{name}.lock").open("w") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            if not place.exists():
                part = self.folder / f"{name}.part"
                part.mkdir()
                fill(part)
                part.rename(place)
        return place
