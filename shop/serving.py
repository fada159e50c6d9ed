"""The whole of Scribeline in the foreground: made ready, served, and its address told once it answers."""

import http.client
import os
import sys
import tempfile
import time
from socket import socket
from typing import NoReturn

from shop.front_door import FrontDoor, FrontDoorError, front_door, listen
from shop.supervision import Program, StopAsked, Tree, TreeFailed

PYTHON = sys.executable
ANSWER_WITHIN_S = 60.0
CELERY = (PYTHON, "-W", "ignore:You're running the worker", "-m", "celery", "--quiet", "-A", "shop")


def web_server(listener: socket) -> Program:
    """The door stays open in us: a visitor waits while the web server comes back, and is not turned away."""
    door = listener.fileno()
    command = (PYTHON, "-m", "gunicorn", "-c", "python:shop.web_server", "-b", f"fd://{door}", "shop.wsgi")
    return Program("web server", command, inherits=(door,))


def background() -> list[Program]:
    """The worker, two at once so that no paper waits for a plan, and the clock that sends it what is due."""
    worker = (*CELERY, "worker", "-c", "2", "-l", "WARNING", "--without-gossip", "--without-mingle")
    beat = (*CELERY, "beat", "-S", "celery.beat:Scheduler", "--pidfile=", "-l", "WARNING")
    return [Program("worker", worker), Program("clock of the worker", beat)]


def make_ready(tree: Tree) -> str:
    """Database, demo and static files; what the command says: address and demo sign-ins."""
    with tempfile.TemporaryFile() as output:
        if tree.complete(Program("make_ready", (PYTHON, "manage.py", "make_ready"), output=output)):
            raise TreeFailed("the database or the static files could not be made ready")
        output.seek(0)
        return output.read().decode()


class FirstAnswer:
    """Asks for the first page until it comes."""

    def __init__(self, door: FrontDoor) -> None:
        self.door = door
        self.deadline = time.monotonic() + ANSWER_WITHIN_S

    def __call__(self) -> bool:
        if time.monotonic() > self.deadline:
            raise TreeFailed(f"no page within {ANSWER_WITHIN_S:.0f} s")
        ask = http.client.HTTPConnection("127.0.0.1", self.door.port, timeout=1)
        try:
            ask.request("GET", "/", headers={"Host": self.door.host})
            return ask.getresponse().status < http.client.INTERNAL_SERVER_ERROR
        except (OSError, http.client.HTTPException):
            return False
        finally:
            ask.close()


def serve(tree: Tree, door: FrontDoor) -> NoReturn:
    with listen(door) as listener:
        said = make_ready(tree)
        tree.grow([web_server(listener)])
        tree.watch(until=FirstAnswer(door))
        tree.grow(background())  # after it, so that the page does not wait for them
        print(f"\n{said}Ctrl-C stops it.", flush=True)
        tree.watch_forever()


def main() -> int:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    tree = Tree()
    try:
        serve(tree, front_door(os.environ))
    except StopAsked:
        print("Scribeline: stopped", file=sys.stderr)
        return 0
    except (FrontDoorError, TreeFailed) as failure:
        print(f"Scribeline: {failure}", file=sys.stderr)
        return 1
    finally:
        tree.stop()


if __name__ == "__main__":
    sys.exit(main())
