"""Scribeline started as everybody starts it, with a folder and a port of its own."""

import http.client
import os
import signal
import socket
import subprocess
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
RUN = ROOT / "bin" / "run"
GLANCE_S = 0.05
SLOWEST_START_S = 240.0
SOON_S = 30.0


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def wait_until(holds: Callable[[], object], what: str, *, within_s: float = SOON_S) -> None:
    deadline = time.monotonic() + within_s
    while not holds():
        assert time.monotonic() < deadline, f"not within {within_s} s: {what}"
        time.sleep(GLANCE_S)


@dataclass
class RunningSite:
    var: Path
    port: int = field(default_factory=free_port)
    process: subprocess.Popen[bytes] | None = None

    @property
    def environment(self) -> dict[str, str]:
        kept = {name: os.environ[name] for name in ("PATH", "HOME", "LANG") if name in os.environ}
        return {**kept, "SCRIBELINE_VAR": str(self.var), "PORT": str(self.port)}

    @property
    def said(self) -> str:
        """What it has written so far."""
        return self.log.read_text() if self.log.exists() else ""

    @property
    def log(self) -> Path:
        return self.var.with_suffix(".log")

    def start(self, *command: str) -> float:
        """Start it and wait for its address; how many seconds that took."""
        began = time.monotonic()
        with self.log.open("wb") as log:
            self.process = subprocess.Popen(
                command or (str(RUN),),
                env=self.environment,
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=subprocess.STDOUT,
            )
        self.wait_for_address()
        return time.monotonic() - began

    def wait_for_address(self) -> None:
        wait_until(self._told_or_ended, "the address is told", within_s=SLOWEST_START_S)
        assert "Ctrl-C stops it." in self.said, self.said

    def _told_or_ended(self) -> bool:
        ended = self.process is not None and self.process.poll() is not None
        return ended or "Ctrl-C stops it." in self.said

    def status(self) -> int | None:
        """The answer to a visitor, None when there is none."""
        ask = http.client.HTTPConnection("127.0.0.1", self.port, timeout=10)
        try:
            ask.request("GET", "/")
            return ask.getresponse().status
        except OSError:
            return None
        finally:
            ask.close()

    def answers(self) -> bool:
        return self.status() in (200, 302)

    def processes(self, *words: str) -> dict[int, str]:
        """Every process that belongs to this site, wherever it hangs; with these words in its command."""
        mark = f"SCRIBELINE_VAR={self.var}".encode()
        found = {}
        for entry in Path("/proc").iterdir():
            try:
                if entry.name.isdecimal() and mark in (entry / "environ").read_bytes().split(b"\0"):
                    found[int(entry.name)] = (entry / "cmdline").read_bytes().replace(b"\0", b" ").decode()
            except OSError:
                continue
        return {pid: line for pid, line in found.items() if line and all(word in line for word in words)}

    def leader(self, *words: str) -> int:
        """The one process of a program that the others of its kind hang under."""
        wait_until(lambda: self.processes(*words), f"there is a {words}")
        alike = self.processes(*words)
        return next(pid for pid in alike if parent_of(pid) not in alike)

    def signal(self, number: signal.Signals) -> None:
        assert self.process is not None
        self.process.send_signal(number)

    def gone(self) -> bool:
        return not self.processes()

    def end(self) -> None:
        """Whatever a test has left behind."""
        if self.process and self.process.poll() is None:
            self.process.terminate()
            self.process.wait(SOON_S)
        for pid in self.processes():
            os.kill(pid, signal.SIGKILL)


def parent_of(pid: int) -> int:
    return int(Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[1])
