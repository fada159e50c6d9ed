"""A tree of processes that lives and dies as one: a child that ends comes back, and none outlives us.

Each child leads a session of its own, so that Ctrl-C comes to it through us, and what it leaves behind when
it is killed can be ended with it. Should we be killed outright, the kernel tells the children to stop.
"""

import ctypes
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from types import FrameType
from typing import IO, NoReturn

GLANCE_S = 0.05
STEADY_S = 5.0
LONGEST_PAUSE_S = 8.0
FINISH_WITHIN_S = 5.0
STOP_WITHIN_S = 3.0  # an idle worker takes longer to go by itself; what it had in work is taken up again
FALSE_STARTS = 3

PR_SET_PDEATHSIG = 1
LIBC = ctypes.CDLL(None) if sys.platform == "linux" else None


class StopAsked(Exception):  # noqa: N818 - an order, not an error
    """Somebody asked the tree to stop."""


class TreeFailed(Exception):  # noqa: N818
    """A child does not start."""


@dataclass(frozen=True)
class Program:
    name: str
    command: Sequence[str]
    inherits: tuple[int, ...] = ()
    output: IO[bytes] | None = None


class Child:
    """One program, started as often as it takes."""

    def __init__(self, program: Program) -> None:
        self.program = program
        self.starts_at = 0.0
        self.started_at = 0.0
        self.false_starts = 0
        self.process: subprocess.Popen[bytes] | None = None
        self.left_behind: dict[int, float] = {}

    def start(self) -> None:
        self.started_at = time.monotonic()
        parent = os.getpid()
        self.process = subprocess.Popen(  # noqa: S603 - our own commands
            self.program.command,
            stdin=subprocess.DEVNULL,
            stdout=self.program.output,
            start_new_session=True,
            pass_fds=self.program.inherits,
            preexec_fn=lambda: _stop_when_parent_dies(parent),
        )

    @property
    def exit_code(self) -> int | None:
        """What the process ended with, None while it runs."""
        return self.process.poll() if self.process else None

    @property
    def runs(self) -> bool:
        return self.process is not None and self.exit_code is None

    def note_end(self) -> None:
        """Set when the process starts again, and what it left behind to end."""
        now = time.monotonic()
        if self.process and _signal_session(self.process.pid, signal.SIGTERM):
            self.left_behind[self.process.pid] = now + FINISH_WITHIN_S
        self.process = None
        self.false_starts = 0 if now - self.started_at >= STEADY_S else self.false_starts + 1
        pause = min(LONGEST_PAUSE_S, 2.0 ** (self.false_starts - 2)) if self.false_starts > 1 else 0.0
        self.starts_at = now + pause

    def end_left_behind(self) -> None:
        """What a killed process left behind may finish what it has in hand, and no more."""
        for session, deadline in list(self.left_behind.items()):
            late = time.monotonic() > deadline
            there = _signal_session(session, signal.SIGKILL if late else 0)
            if late or not there:
                del self.left_behind[session]

    def ask_to_stop(self) -> None:
        if self.process and self.runs:
            self.process.terminate()

    def kill(self) -> None:
        """End the child and everything that came of it."""
        for session in [*self.left_behind, *([self.process.pid] if self.process else [])]:
            _signal_session(session, signal.SIGKILL)
        if self.process:
            self.process.wait()


class Tree:
    """The children, watched over in the foreground."""

    def __init__(self) -> None:
        self.children: list[Child] = []
        self.stops_asked = 0
        signal.signal(signal.SIGINT, self._ask_to_stop)
        signal.signal(signal.SIGTERM, self._ask_to_stop)
        if signal.getsignal(signal.SIGHUP) is not signal.SIG_IGN:  # nohup stays in force
            signal.signal(signal.SIGHUP, self._ask_to_stop)

    def _ask_to_stop(self, number: int, frame: FrameType | None) -> None:
        self.stops_asked += 1

    def complete(self, program: Program) -> int:
        """Run a program to its end."""
        child = self._grow(program)
        while child.runs:
            self._pause()
        self.children.remove(child)
        return child.exit_code or 0

    def grow(self, programs: Sequence[Program]) -> None:
        for program in programs:
            self._grow(program)

    def _grow(self, program: Program) -> Child:
        child = Child(program)
        self.children.append(child)
        child.start()
        return child

    def watch(self, *, until: Callable[[], bool]) -> None:
        """Bring back whatever ends until the condition holds; a child that never starts is fatal."""
        while not until():
            self._tend(fatal=True)
            self._pause()

    def watch_forever(self) -> NoReturn:
        while True:
            self._tend(fatal=False)
            self._pause()

    def _tend(self, *, fatal: bool) -> None:
        for child in self.children:
            child.end_left_behind()
            if child.process is not None and not child.runs:
                print(f"{child.program.name} ended ({child.exit_code}); starting it again", file=sys.stderr)
                child.note_end()
                if fatal and child.false_starts >= FALSE_STARTS:
                    raise TreeFailed(f"{child.program.name} does not start; the reason is above")
            if child.process is None and time.monotonic() >= child.starts_at:
                child.start()

    def _pause(self) -> None:
        if self.stops_asked:
            raise StopAsked
        time.sleep(GLANCE_S)

    def stop(self) -> None:
        """End every child: asked first, killed when it takes too long or when we are asked again."""
        asked_before = self.stops_asked
        deadline = time.monotonic() + STOP_WITHIN_S
        for child in self.children:
            child.ask_to_stop()
        while any(child.runs for child in self.children):
            if time.monotonic() > deadline or self.stops_asked > asked_before:
                break
            time.sleep(GLANCE_S)
        for child in self.children:
            child.kill()


def _signal_session(leader: int, number: int) -> bool:
    """Signal all processes of a session; whether there are any."""
    try:
        os.killpg(leader, number)
    except (ProcessLookupError, PermissionError):
        return False
    return True


def _stop_when_parent_dies(parent: int) -> None:
    if LIBC is not None:
        LIBC.prctl(PR_SET_PDEATHSIG, signal.SIGTERM)
    if os.getppid() != parent:
        os._exit(1)
