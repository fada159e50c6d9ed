"""The real processes of a shop, each started and killed by hand; the database is looked at from outside."""

import os
import signal
import socket
import sqlite3
import subprocess
import sys
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from shop.serving import background, web_server
from tests.running_site import free_port, wait_until

SETTINGS = "tests.shop.documents.slow_settings"
WEB, WORKER, CLOCK = "web server", "worker", "clock of the worker"
PASSWORD = "long enough for a test"

PREPARE = f"""
import django; django.setup()
from django.core.management import call_command
from shop.models import Person
call_command("migrate", verbosity=0)
Person.objects.create_user("wren", password={PASSWORD!r}, full_name="Wren", role="service_writer")
"""
ASK = """
import django, os, sys; django.setup()
from django.utils import timezone
from shop.documents import asking
from shop.models import Person
if sys.argv[1] == "dies":
    asking.send = lambda _number: os._exit(9)
asking.ask("held", "bench/1", by=Person.objects.get(), now=timezone.now(), options={"paper": "A4"})
"""


@dataclass
class Shop:
    """One shop with a folder of its own. Whatever still runs in the end is killed by `end`."""

    var: Path
    broker: str = ""
    lease_s: int = 15
    running: dict[str, subprocess.Popen[bytes]] = field(default_factory=dict)
    door: socket.socket = field(default_factory=lambda: socket.create_server(("127.0.0.1", 0)))

    @property
    def port(self) -> int:
        return int(self.door.getsockname()[1])

    @property
    def environment(self) -> dict[str, str]:
        return {
            "PATH": os.environ["PATH"],
            "SCRIBELINE_VAR": str(self.var),
            "SCRIBELINE_BROKER": self.broker,
            "SCRIBELINE_PAPER_LEASE_SECONDS": str(self.lease_s),
            "SCRIBELINE_PAPER_SWEEP_SECONDS": "1",
            "DJANGO_SETTINGS_MODULE": SETTINGS,
            "PORT": str(self.port),
        }

    def run(self, script: str, *arguments: str) -> int:
        """Run a script of Python in the shop to its end."""
        command = [sys.executable, "-c", script, *arguments]
        return subprocess.run(command, env=self.environment, timeout=120, check=False).returncode

    def start(self, *names: str, called: str = "") -> None:
        """Start programs of the site by the commands that the site starts them with."""
        for program in (web_server(self.door), *background()):
            if program.name in names:
                log = (self.var / f"{called or program.name}.log").open("ab")
                self.running[called or program.name] = subprocess.Popen(
                    program.command,
                    env=self.environment,
                    stdin=subprocess.DEVNULL,
                    stdout=log,
                    stderr=log,
                    start_new_session=True,
                    pass_fds=program.inherits,
                )

    def signal(self, name: str, number: signal.Signals) -> None:
        """To a program and everything that it has started."""
        os.killpg(self.running[name].pid, number)

    def kill(self, name: str) -> None:
        self.signal(name, signal.SIGKILL)
        self.running.pop(name).wait()

    def end(self) -> None:
        for name in list(self.running):
            self.kill(name)
        self.door.close()

    def hold(self) -> None:
        """From now on the first attempt of every paper stops in the middle, until `let_go`."""
        (self.var / "hold").touch()

    def let_go(self) -> None:
        (self.var / "hold").unlink()

    def begun(self, attempt: int = 1) -> bool:
        return any(self.var.glob(f"begun-*-{attempt}"))

    def log(self, name: str) -> str:
        return (self.var / f"{name}.log").read_text()

    def rows(self, query: str) -> list[tuple[Any, ...]]:
        with sqlite3.connect(self.var / "db.sqlite3", timeout=20) as database:
            return database.execute(query).fetchall()

    def age(self, *, seconds: int) -> None:
        """As if everything that was sent had been sent so long ago."""
        with sqlite3.connect(self.var / "db.sqlite3", timeout=20) as database:
            database.execute(
                "UPDATE documents_document SET sent_at = datetime(sent_at, ?)", [f"-{seconds} seconds"]
            )

    def states(self) -> list[str]:
        return [state for (state,) in self.rows("SELECT state FROM documents_document ORDER BY issue")]

    def events(self, kind: str) -> int:
        return int(self.rows(f"SELECT count(*) FROM shop_event WHERE kind = '{kind}'")[0][0])

    def files(self) -> list[Path]:
        return sorted((self.var / "media/documents").iterdir())


@dataclass
class Broker:
    """A Redis that keeps nothing: whatever was queued is gone when it comes back."""

    command: str
    port: int = field(default_factory=free_port)
    process: subprocess.Popen[bytes] | None = None

    @property
    def address(self) -> str:
        return f"redis://127.0.0.1:{self.port}/0"

    def start(self) -> None:
        keeps_nothing = ("--save", "", "--appendonly", "no", "--dir", "/")
        self.process = subprocess.Popen(
            [self.command, "--port", str(self.port), "--bind", "127.0.0.1", *keeps_nothing],
            stdout=subprocess.DEVNULL,
        )
        wait_until(self.answers, "Redis answers")

    def answers(self) -> bool:
        try:
            with socket.create_connection(("127.0.0.1", self.port), timeout=1) as asked:
                asked.sendall(b"PING\r\n")
                return asked.recv(7) == b"+PONG\r\n"
        except OSError:
            return False

    def stop(self) -> None:
        if self.process is not None:
            self.process.kill()
            self.process.wait()
            self.process = None
