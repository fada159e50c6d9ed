"""What holds for every test: a place of its own to write to, no network, no test left out."""

import datetime as dt
import os
import shutil
import socket
import sys
import tempfile
from pathlib import Path
from typing import Any

import hypothesis
import pytest
from django.conf import settings as django_settings
from django.core.cache import caches

from tests.factories import NOON
from tests.once import Once
from tests.running_site import RunningSite

# The longest that need no site, to be run while the first one is made.
MEANWHILE = ("test_traveler.py", "test_fuzzed_posts.py")
# Test ids that may be skipped or expected to fail, each with its reason. There is none.
MAY_BE_LEFT_OUT: dict[str, str] = {}

LEFT_OUT = pytest.StashKey[dict[str, str]]()
OWN_VAR = pytest.StashKey[Path]()
THIS_MACHINE = ("127.", "localhost", "::1")
_connect = socket.socket.connect

hypothesis.settings.register_profile(
    "suite",
    deadline=None,  # shared machines are slow at times; a slow example is no wrong one
    derandomize=True,
    database=None,
    print_blob=True,
    suppress_health_check=[hypothesis.HealthCheck.too_slow],
)
hypothesis.settings.load_profile("suite")


def pytest_configure(config: pytest.Config) -> None:
    config.stash[LEFT_OUT] = {}
    var = config.stash[OWN_VAR] = Path(tempfile.mkdtemp(prefix="scribeline-"))
    plain_static = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
    django_settings.VAR_DIR = var
    django_settings.MEDIA_ROOT = var / "media"
    django_settings.STATIC_ROOT = var / "static"
    django_settings.STORAGES = {**django_settings.STORAGES, "staticfiles": plain_static}
    django_settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    django_settings.CELERY_BROKER_URL = "memory://"
    django_settings.PLAN_SAMPLES = 60
    django_settings.CELERY_BROKER_TRANSPORT_OPTIONS = {}
    (var / "static").mkdir()
    socket.socket.connect = _connect_here_only  # type: ignore[method-assign]


def pytest_unconfigure(config: pytest.Config) -> None:
    socket.socket.connect = _connect  # type: ignore[method-assign]
    shutil.rmtree(config.stash[OWN_VAR], ignore_errors=True)


def _connect_here_only(self: socket.socket, address: Any) -> None:
    inet = self.family in (socket.AF_INET, socket.AF_INET6)
    if inet and self.type == socket.SOCK_STREAM and not str(address[0]).startswith(THIS_MACHINE):
        raise OSError(f"no network in tests: {address}")
    _connect(self, address)


class NothingLeftOut:
    """A test that is skipped, or expected to fail, fails the run."""

    def __init__(self, config: pytest.Config) -> None:
        self.left_out = config.stash[LEFT_OUT]

    def note(self, report: pytest.TestReport | pytest.CollectReport) -> None:
        expected_to_fail = hasattr(report, "wasxfail")
        if (report.skipped or expected_to_fail) and report.nodeid not in MAY_BE_LEFT_OUT:
            self.left_out[report.nodeid] = str(report.longrepr or "expected to fail")

    pytest_runtest_logreport = note
    pytest_collectreport = note

    def pytest_sessionfinish(self, session: pytest.Session) -> None:
        if self.left_out and session.exitstatus == pytest.ExitCode.OK:
            session.exitstatus = pytest.ExitCode.TESTS_FAILED

    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter) -> None:
        for test, reason in self.left_out.items():
            terminalreporter.write_line(f"LEFT OUT, so the run fails: {test}: {reason}", red=True)


def pytest_sessionstart(session: pytest.Session) -> None:
    if not os.environ.get("PYTEST_XDIST_WORKER"):
        session.config.pluginmanager.register(NothingLeftOut(session.config))


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    items.sort(key=_turn)


def _turn(item: pytest.Item) -> int:
    """What takes a site of its own goes before the rest: many short files at the end leave no processor idle.

    First the file that starts the site from nothing, which all others copy, and two that ask for none.
    """
    if item.path.name in {"test_doors.py", *MEANWHILE}:
        return 0 if item.path.name == "test_doors.py" else 1
    return 3 - bool({"browser", "process"} & {mark.name for mark in item.iter_markers()})


@pytest.fixture(scope="session")
def once(tmp_path_factory: pytest.TempPathFactory, testrun_uid: str) -> Once:
    return Once(tmp_path_factory, testrun_uid)


@pytest.fixture(scope="session")
def first_start(once: Once) -> Path:
    """The folder of a site that was started from nothing and stopped, with what it said beside it."""
    return once.made("first", _start_and_stop)


def _start_and_stop(folder: Path) -> None:
    site = RunningSite(folder / "var")
    try:
        site.start()
        assert site.answers()
        assert f"http://localhost:{site.port}/" in site.said
    finally:
        site.end()


@pytest.fixture(autouse=True)
def _nothing_kept() -> None:
    """What a page keeps between requests is kept between tests by nobody."""
    from jobs.kept_records import KEPT_RECORDS

    KEPT_RECORDS.clear()
    for cache in caches.all():
        cache.clear()


@pytest.fixture
def now() -> dt.datetime:
    """The moment at which a test takes place."""
    return NOON


@pytest.fixture
def redis_server() -> str:
    """Path of a Redis server to start; bin/test sees to it that there is one."""
    found = shutil.which("redis-server", path=f"{Path(sys.executable).parent}:{os.environ['PATH']}")
    assert found, "there is no redis-server; bin/test installs one"
    return found
