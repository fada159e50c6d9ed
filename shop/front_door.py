"""Where the site is reached: the port it listens on, and the name that others type.

Only the standard library: the port is tried before anything is installed.
"""

import errno
import os
import re
import socket
import sys
from collections.abc import Mapping
from dataclasses import dataclass

NAME = re.compile(r"[A-Za-z0-9]([A-Za-z0-9.-]*[A-Za-z0-9])?")
EVERYWHERE = "0.0.0.0"  # noqa: S104 - meant: whoever names a host wants to be reached from outside
# Addresses kept for documentation: nothing is sent, the kernel only says which of its own it would use.
OUTSIDE = ("192.0.2.1", 9)


class FrontDoorError(ValueError):
    """HOST or PORT makes no sense, or the port is taken; the message is one line for whoever starts us."""


@dataclass(frozen=True)
class FrontDoor:
    host: str
    port: int

    @property
    def listens_on(self) -> str:
        """Loopback stays on this machine; any other name opens the door to the network."""
        on_loopback = self.host == "localhost" or self.host.startswith("127.")
        return "127.0.0.1" if on_loopback else EVERYWHERE

    @property
    def address(self) -> str:
        return f"http://{self.host}" if self.port == 80 else f"http://{self.host}:{self.port}"


def front_door(environ: Mapping[str, str]) -> FrontDoor:
    """The door that HOST and PORT ask for."""
    host = environ.get("HOST", "").strip() or "localhost"
    port = environ.get("PORT", "").strip() or "8000"
    if not port.isdecimal() or not 1 <= int(port) <= 65535:
        raise FrontDoorError(f"PORT={port} is not a whole number from 1 to 65535")
    if not NAME.fullmatch(host):
        raise FrontDoorError(f"HOST={host} is not a host name or an IPv4 address (no http://, no port)")
    return FrontDoor(host=own_address() if host == EVERYWHERE else host, port=int(port))


def own_address() -> str:
    """This machine's address on the network, for people who ask to listen everywhere."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(OUTSIDE)
        except OSError:
            return "localhost"
        return str(probe.getsockname()[0])


def listen(door: FrontDoor) -> socket.socket:
    """The open door: a listening socket that the web server inherits."""
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((door.listens_on, door.port))
        listener.listen(128)
    except OSError as error:
        listener.close()
        raise FrontDoorError(_why(door, error)) from error
    return listener


def _why(door: FrontDoor, error: OSError) -> str:
    other = f"choose another: PORT={door.port + 1 if door.port < 65535 else 8000} bin/run"
    if error.errno == errno.EADDRINUSE:
        return f"port {door.port} is in use; {other}"
    if error.errno == errno.EACCES:
        return f"port {door.port} is not allowed to this user; {other}"
    return f"port {door.port} cannot be opened ({error.strerror}); {other}"


def main() -> int:
    """Whether the door could be opened now."""
    try:
        listen(front_door(os.environ)).close()
    except FrontDoorError as error:
        print(f"Scribeline: {error}", file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
