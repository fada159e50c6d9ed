"""The front door with real processes: what starts, what comes back, what is left when it stops."""

import os
import pty
import shutil
import signal
import socket
import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from tests.running_site import RUN, RunningSite, free_port, wait_until

pytestmark = pytest.mark.process

WEB = "gunicorn"
WORKER = "shop worker"
BEAT = "shop beat"
ALL_OF_IT = {WEB: 3, WORKER: 3, BEAT: 1}
LOADS = "import django; django.setup()"
STARTS_AGAIN_IN_LOADS = 5.0


@pytest.fixture(scope="module")
def copied(first_start: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the site that was started once, for all of this file."""
    return Path(shutil.copytree(first_start / "var", tmp_path_factory.mktemp("site") / "var"))


@pytest.fixture
def site(copied: Path) -> Iterator[RunningSite]:
    """The same site, with its data, not yet started again."""
    again = RunningSite(copied)
    yield again
    again.end()


@pytest.fixture(scope="module")
def running(copied: Path) -> Iterator[RunningSite]:
    """One that goes on, whatever of it is killed; in a folder of its own beside the others."""
    site = RunningSite(Path(shutil.copytree(copied, copied.with_name("running"))))
    site.start()
    yield site
    site.end()


def people(site: RunningSite) -> list[tuple[str]]:
    with closing(sqlite3.connect(site.var / "db.sqlite3")) as database:
        return database.execute("SELECT username FROM shop_person ORDER BY id").fetchall()


def all_of_it(site: RunningSite, program: str) -> dict[int, str]:
    """The processes of a program once all of them are there."""
    wait_until(lambda: len(site.processes(program)) == ALL_OF_IT[program], f"all of {program} is there")
    return site.processes(program)


def run_to_the_end(**environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [str(RUN)],
        env={"PATH": os.environ["PATH"], **environment},
        capture_output=True,
        text=True,
        timeout=60,
    )


def test_first_start_loads_the_demo_and_says_who_may_sign_in(first_start: Path, site: RunningSite) -> None:
    said = RunningSite(first_start / "var").said
    assert people(site)
    assert all(name in said for (name,) in people(site))


def loads_the_application() -> float:
    """Seconds for loading the application and nothing more, which every process of the site begins with."""
    began = time.monotonic()
    subprocess.run(
        [sys.executable, "-c", LOADS],
        env={**os.environ, "DJANGO_SETTINGS_MODULE": "shop.settings"},
        check=True,
    )
    return time.monotonic() - began


def test_second_start_is_quick_and_keeps_the_data(site: RunningSite) -> None:
    """Quick beside what loading the application takes on this machine, the better of up to three turns."""
    kept = people(site), (site.var / "secret-key").read_bytes()
    ours, bare = float("inf"), float("inf")
    for _turn in range(3):
        ours, bare = min(ours, site.start()), min(bare, loads_the_application())
        assert site.answers()
        assert (people(site), (site.var / "secret-key").read_bytes()) == kept
        site.end()
        print(f"started again in {ours:.1f} s, loads in {bare:.1f} s")
        if ours <= STARTS_AGAIN_IN_LOADS * bare:
            return
    pytest.fail(f"starting again takes {ours / bare:.1f} times as long as loading the application")


def wait_until_it_is_back(site: RunningSite, program: str, before: dict[int, str]) -> None:
    """Nothing of before is left, and all of it is there anew."""
    wait_until(lambda: not before.keys() & site.processes(program).keys(), "what it left behind is ended")
    all_of_it(site, program)


@pytest.mark.parametrize("program", ALL_OF_IT)
def test_a_killed_child_comes_back(running: RunningSite, program: str) -> None:
    before = all_of_it(running, program)
    os.kill(running.leader(program), signal.SIGKILL)
    wait_until_it_is_back(running, program, before)
    wait_until(running.answers, "the page answers")


def test_a_visitor_waits_while_the_web_server_comes_back(running: RunningSite) -> None:
    before = all_of_it(running, WEB)
    os.kill(running.leader(WEB), signal.SIGKILL)
    assert running.answers()
    wait_until_it_is_back(running, WEB, before)


@pytest.mark.parametrize("program", [WEB, WORKER])
def test_a_killed_child_of_a_child_comes_back(running: RunningSite, program: str) -> None:
    before = all_of_it(running, program)
    leader = running.leader(program)
    os.kill(next(pid for pid in before if pid != leader), signal.SIGKILL)
    wait_until(lambda: len(running.processes(program).keys() - before.keys()) == 1, "another takes its place")
    assert running.leader(program) == leader
    assert running.answers()


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_stopped_it_leaves_no_process(site: RunningSite, number: signal.Signals) -> None:
    site.start()
    site.signal(number)
    assert site.process is not None
    assert site.process.wait(30) == 0
    assert site.processes() == {}
    assert site.status() is None


def test_killed_outright_it_leaves_no_process(site: RunningSite) -> None:
    site.start()
    site.signal(signal.SIGKILL)
    wait_until(site.gone, "every child has noticed")


def test_ctrl_c_while_it_starts_leaves_no_process(site: RunningSite) -> None:
    site.process = subprocess.Popen([str(RUN)], env=site.environment, stderr=subprocess.DEVNULL)
    wait_until(lambda: site.processes("make_ready"), "it is at work")
    site.signal(signal.SIGINT)
    assert site.process.wait(30) == 0
    wait_until(site.gone, "nothing goes on")


def test_its_terminal_gone_it_leaves_no_process(site: RunningSite) -> None:
    """The shell that it was started from is killed, and the terminal hangs up."""
    shell, terminal = pty.fork()
    if shell == 0:
        os.execve("/bin/sh", ["sh", "-c", f"{RUN} >{site.log} 2>&1; true"], site.environment)
    try:
        site.wait_for_address()
        os.kill(shell, signal.SIGKILL)
        os.waitpid(shell, 0)
        wait_until(site.gone, "every process has noticed")
    finally:
        os.close(terminal)


def test_a_busy_port_is_one_clear_line(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = str(taken.getsockname()[1])
        answer = run_to_the_end(PORT=port, SCRIBELINE_VAR=str(tmp_path / "var"))
    assert answer.returncode == 1
    assert answer.stdout == ""
    assert answer.stderr.count("\n") == 1
    assert f"port {port} is in use" in answer.stderr
    assert not (tmp_path / "var").exists()


@pytest.mark.parametrize(
    ("environment", "word"),
    [
        ({"PORT": "eighty"}, "PORT=eighty"),
        ({"PORT": "70000"}, "PORT=70000"),
        ({"HOST": "http://shop.example"}, "HOST=http://shop.example"),
    ],
)
def test_an_address_that_makes_no_sense_is_one_clear_line(environment: dict[str, str], word: str) -> None:
    answer = run_to_the_end(**environment)
    assert answer.returncode == 1
    assert answer.stderr.count("\n") == 1
    assert word in answer.stderr


def test_the_name_of_the_host_opens_the_door_to_it(site: RunningSite) -> None:
    script = (
        "import django; django.setup(); from django.conf import settings; "
        "print(settings.SITE_ADDRESS, settings.FRONT_DOOR.listens_on, settings.ALLOWED_HOSTS)"
    )
    port = free_port()
    environment = {**site.environment, "HOST": "bench.example", "PORT": str(port)}
    environment["DJANGO_SETTINGS_MODULE"] = "shop.settings"
    said = subprocess.run(
        [sys.executable, "-c", script], env=environment, cwd=RUN.parent.parent, capture_output=True, text=True
    )
    assert said.stdout.startswith(f"http://bench.example:{port} 0.0.0.0 ['bench.example', ")
