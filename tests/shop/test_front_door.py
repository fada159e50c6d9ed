"""HOST and PORT: what they open, what is refused."""

import socket

import pytest

from shop import front_door as doors
from shop.front_door import FrontDoor, FrontDoorError, front_door, listen
from tests.running_site import free_port


def test_nothing_asked_stays_on_this_machine() -> None:
    door = front_door({})
    assert (door.address, door.listens_on) == ("http://localhost:8000", "127.0.0.1")


@pytest.mark.parametrize("host", ["bench.example", "192.0.2.7", "bay-tablet-server"])
def test_a_name_opens_it_to_the_network(host: str) -> None:
    door = front_door({"HOST": host, "PORT": "8080"})
    assert (door.address, door.listens_on) == (f"http://{host}:8080", "0.0.0.0")


@pytest.mark.parametrize("host", ["localhost", "127.0.0.1", "127.0.1.1"])
def test_loopback_stays_on_this_machine(host: str) -> None:
    assert front_door({"HOST": host}).listens_on == "127.0.0.1"


def test_everywhere_is_known_by_the_machines_own_address(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(doors, "own_address", lambda: "192.0.2.7")
    door = front_door({"HOST": "0.0.0.0", "PORT": "8080"})
    assert (door.address, door.listens_on) == ("http://192.0.2.7:8080", "0.0.0.0")


def test_the_usual_port_is_left_out_of_the_address() -> None:
    assert FrontDoor("bench.example", 80).address == "http://bench.example"


@pytest.mark.parametrize("port", ["0", "65536", "-1", "8000.5", "http", "8 000", "²"])
def test_a_port_that_is_none_is_refused(port: str) -> None:
    with pytest.raises(FrontDoorError, match="whole number from 1 to 65535"):
        front_door({"PORT": port})


@pytest.mark.parametrize("host", ["http://bench", "bench:8000", "bench/", "be nch", "-bench", "*", "[::1]"])
def test_a_host_that_is_none_is_refused(host: str) -> None:
    with pytest.raises(FrontDoorError, match="not a host name or an IPv4 address"):
        front_door({"HOST": host})


def test_a_port_in_use_is_refused_with_another_to_take() -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        with pytest.raises(FrontDoorError, match=f"port {port} is in use; choose another: PORT="):
            listen(FrontDoor("localhost", port))


def test_an_open_door_takes_visitors_before_anybody_serves() -> None:
    door = FrontDoor("localhost", free_port())
    with listen(door), socket.create_connection(("127.0.0.1", door.port), timeout=5) as visitor:
        assert visitor.getpeername() == ("127.0.0.1", door.port)
