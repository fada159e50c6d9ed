"""A real site for the browser: a folder of its own, the demo in a file database, web server and worker."""

import os
import shutil
import signal
import socket
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.running_site import free_port

ROOT = Path(__file__).resolve().parents[2]
# Machines that others work on at the same time are slow; what is broken says so at once.
MADE_READY_WITHIN_S = 300
UP_WITHIN_S = 120
DOWN_WITHIN_S = 30
WHOLE = ["shop.serving"]
WEB_SERVER = ["gunicorn", "-c", "python:shop.web_server"]
TOLD = "Ctrl-C stops it"


@dataclass(frozen=True)
class Site:
    """Where the site is, and looking at it from behind without writing."""

    var: Path
    port: int

    @property
    def address(self) -> str:
        return f"http://localhost:{self.port}"

    def manage(self, *words: str) -> str:
        """What a command says."""
        done = subprocess.run(
            [sys.executable, "manage.py", *words],
            cwd=ROOT,
            env=environment(self.var, self.port),
            capture_output=True,
            text=True,
            timeout=MADE_READY_WITHIN_S,
        )
        assert done.returncode == 0, done.stdout + done.stderr
        return done.stdout

    def rows(self, query: str, *values: Any) -> list[tuple[Any, ...]]:
        """What the database holds; opened so that nothing can be written."""
        with closing(
            sqlite3.connect(f"file:{self.var / 'db.sqlite3'}?mode=ro", uri=True, timeout=20)
        ) as base:
            return base.execute(query, values).fetchall()

    def one(self, query: str, *values: Any) -> Any:
        """The only value of the only row."""
        ((value,),) = self.rows(query, *values)
        return value


def environment(var: Path, port: int) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith("SCRIBELINE_")}
    kept.pop("PYTHONDONTWRITEBYTECODE", None)
    told = {"SCRIBELINE_VAR": str(var), "PORT": str(port), "HOST": "localhost"}
    return {**kept, **told, "SCRIBELINE_PLAN_SECONDS": "1", "SCRIBELINE_PLAN_SAMPLES": "40"}


# The delivery of after the demo's day that the first car waits for: tests go on with its assembly.
PARTS_COME = """
from django.utils import timezone
from jobs.demo.loading import Scenario
Scenario(timezone.now()).deliver_later("K-0001")
"""


def bring_parts(var: Path) -> None:
    """Into a folder with the demo, from which sites are copied."""
    Site(var, free_port()).manage("shell", "--no-imports", "-c", PARTS_COME)


@contextmanager
def up(demo: Path, *, whole: bool) -> Iterator[Site]:
    """A site of its own on a copy of the demo: whole with every process that a shop's own has, else its
    web server alone, which is all that most people's day asks for."""
    with tempfile.TemporaryDirectory(prefix="scribeline-site-") as folder:
        site = Site(Path(folder) / "var", free_port())
        shutil.copytree(demo, site.var)
        said = Path(folder) / "said"
        program = WHOLE if whole else [*WEB_SERVER, "-b", f"localhost:{site.port}", "shop.wsgi"]
        with said.open("wb") as output:
            tree = subprocess.Popen(
                [sys.executable, "-m", *program],
                cwd=ROOT,
                env=environment(site.var, site.port),
                stdout=output,
                stderr=subprocess.STDOUT,
            )
        try:
            _wait_until_up(tree, said, site.port, TOLD if whole else "")
            yield site
        finally:
            tree.send_signal(signal.SIGINT)
            tree.wait(DOWN_WITHIN_S)


def _wait_until_up(tree: subprocess.Popen[bytes], said: Path, port: int, told: str) -> None:
    """Until it has told what it tells and answers; an end before that is told with its reason."""
    for _ in range(UP_WITHIN_S * 10):
        try:
            tree.wait(0.1)
        except subprocess.TimeoutExpired:
            if told in said.read_text(errors="replace") and _answers(port):
                return
        else:
            break
    raise AssertionError(f"the site did not come up:\n{said.read_text(errors='replace')}")


def _answers(port: int) -> bool:
    with socket.socket() as visitor:
        return visitor.connect_ex(("localhost", port)) == 0
