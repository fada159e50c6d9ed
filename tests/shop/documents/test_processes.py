"""Whatever is killed, the paper comes, once, within half a minute of its return."""

import hashlib
import http.cookiejar
import re
import shutil
import signal
import urllib.error
import urllib.parse
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from uuid import uuid4

import pytest

from tests.running_site import wait_until
from tests.shop.documents.processes import ASK, CLOCK, PASSWORD, PREPARE, WEB, WORKER, Broker, Shop

pytestmark = pytest.mark.process

RETURN_S = 30.0
# Long enough for a worker that lives on a busy machine, short enough to be waited for.
SHORT_LEASE_S = 3


@pytest.fixture(scope="module")
def prepared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a shop with one person and nothing else."""
    shop = Shop(tmp_path_factory.mktemp("prepared"))
    assert shop.run(PREPARE) == 0
    shop.end()
    return shop.var


@pytest.fixture
def shop(prepared: Path, tmp_path: Path) -> Iterator[Shop]:
    var = tmp_path / "var"
    shutil.copytree(prepared, var)
    shop = Shop(var)
    yield shop
    shop.end()


@pytest.fixture
def broker(redis_server: str) -> Iterator[Broker]:
    broker = Broker(redis_server)
    yield broker
    broker.stop()


def wait_until_ready(shop: Shop, *, papers: int = 1) -> None:
    wait_until(lambda: shop.states() == ["ready"] * papers, "the papers are ready", within_s=RETURN_S)


def assert_delivered_once(shop: Shop, *, attempts: list[int]) -> None:
    """One issue, one file, one delivery in the record for each wish."""
    rows = shop.rows("SELECT issue, attempt, file, sha256 FROM documents_document ORDER BY issue")
    assert [issue for issue, *_rest in rows] == list(range(1, len(attempts) + 1))
    assert [attempt for _issue, attempt, *_rest in rows] == attempts
    assert shop.events("document.issued") == len(attempts)
    assert shop.events("document.failed") == 0
    assert {path.name for path in shop.files()} == {Path(file).name for *_rest, file, _sha in rows}
    for *_rest, file, sha256 in rows:
        pdf = (shop.var / "media" / file).read_bytes()
        assert pdf.startswith(b"%PDF")
        assert hashlib.sha256(pdf).hexdigest() == sha256


def test_a_worker_killed_in_mid_document(shop: Shop) -> None:
    shop.lease_s = SHORT_LEASE_S
    shop.hold()
    shop.start(WORKER, CLOCK)
    assert shop.run(ASK, "lives") == 0
    wait_until(shop.begun, "the worker is in the middle of it")
    shop.kill(WORKER)
    assert shop.states() == ["in_work"]
    shop.start(WORKER)
    wait_until_ready(shop)
    assert_delivered_once(shop, attempts=[2])


def test_a_worker_believed_dead_comes_too_late(shop: Shop) -> None:
    shop.lease_s = SHORT_LEASE_S
    shop.hold()
    shop.start(WORKER, called="first")
    assert shop.run(ASK, "lives") == 0
    wait_until(shop.begun, "the first worker is in the middle of it")
    shop.signal("first", signal.SIGSTOP)
    shop.start(WORKER, CLOCK)
    wait_until_ready(shop)
    (delivered,) = shop.files()
    before = delivered.read_bytes()
    shop.let_go()
    shop.signal("first", signal.SIGCONT)
    wait_until(lambda: "attempt 1 came too late" in shop.log("first"), "the first worker sees it is late")
    assert delivered.read_bytes() == before
    assert_delivered_once(shop, attempts=[2])


def test_a_web_server_killed_while_the_paper_is_made(shop: Shop) -> None:
    shop.hold()
    shop.start(WEB, WORKER, CLOCK)
    visitor = Visitor(shop)
    visitor.sign_in()
    page = visitor.ask_for_a_paper()
    wait_until(shop.begun, "the worker is in the middle of it")
    shop.kill(WEB)
    shop.let_go()
    shop.start(WEB)
    wait_until(lambda: "Open the paper" in visitor.get(page), "the page links to it", within_s=RETURN_S)
    assert_delivered_once(shop, attempts=[1])
    (delivered,) = shop.files()
    assert visitor.fetch(f"{page}file/") == delivered.read_bytes()


def test_a_web_server_that_dies_before_it_tells_the_workers(shop: Shop) -> None:
    shop.start(WORKER, CLOCK)
    assert shop.run(ASK, "dies") == 9
    wait_until_ready(shop)
    assert_delivered_once(shop, attempts=[1])


def test_a_worker_that_starts_sweeps_without_the_clock(shop: Shop) -> None:
    assert shop.run(ASK, "dies") == 9
    shop.age(seconds=3)
    shop.start(WORKER)
    wait_until_ready(shop)
    assert_delivered_once(shop, attempts=[1])


def test_a_broker_stopped_and_flushed(shop: Shop, broker: Broker) -> None:
    broker.start()
    shop.broker = broker.address
    shop.hold()
    shop.start(WORKER, CLOCK)
    for _ in range(2):
        assert shop.run(ASK, "lives") == 0
    wait_until(lambda: shop.states() == ["in_work"] * 2, "the worker is in the middle of two, its most")
    assert shop.run(ASK, "lives") == 0  # waits in the queue behind them
    broker.stop()
    assert shop.run(ASK, "lives") == 0  # nobody can be told of it
    assert shop.states() == ["in_work", "in_work", "asked", "asked"]
    shop.let_go()
    broker.start()
    wait_until_ready(shop, papers=4)
    assert_delivered_once(shop, attempts=[1, 1, 1, 1])


class Visitor:
    """A browser without script, as far as it is needed here."""

    def __init__(self, shop: Shop) -> None:
        self.base = f"http://localhost:{shop.port}"
        jar = urllib.request.HTTPCookieProcessor(http.cookiejar.CookieJar())
        self.opener = urllib.request.build_opener(jar)

    def fetch(self, address: str, **form: str) -> bytes:
        return self._open(address, form)[1]

    def get(self, address: str) -> str:
        return self.fetch(address).decode()

    def sign_in(self) -> None:
        page = self.get("/sign-in/")
        self._open("/sign-in/", {"username": "wren", "password": PASSWORD, **_token(page)})

    def ask_for_a_paper(self) -> str:
        """The address at which it is told how far it is."""
        page = self.get("/papers/ask/?kind=held&stream=bench/1")
        wish = {"id": str(uuid4()), "kind": "held", "stream": "bench/1", "paper": "A4", **_token(page)}
        return urllib.parse.urlsplit(self._open("/papers/ask/", wish)[0]).path

    def _open(self, address: str, form: dict[str, str]) -> tuple[str, bytes]:
        data = urllib.parse.urlencode(form).encode() if form else None
        request = urllib.request.Request(f"{self.base}{address}", data, {"Referer": f"{self.base}/"})
        with self.opener.open(request, timeout=60) as answer:
            return answer.url, answer.read()


def _token(page: str) -> dict[str, str]:
    found = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', page)
    assert found, page
    return {"csrfmiddlewaretoken": found[1]}
