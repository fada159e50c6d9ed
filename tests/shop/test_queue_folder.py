"""Messages in a folder: whole or not there, each taken once."""

from pathlib import Path
from queue import Empty
from typing import Any

import pytest
from kombu import Connection

from shop import queue_folder
from shop.celery import app


@pytest.fixture  # kombu remembers for the whole process what is bound: each test names a queue of its own
def connection(tmp_path: Path) -> Any:
    messages = tmp_path / "messages"
    messages.mkdir()
    options = {
        "data_folder_in": str(messages),
        "data_folder_out": str(messages),
        "control_folder": str(tmp_path / "control"),
    }
    with Connection("folder://localhost", transport_options=options) as connection:
        yield connection


def test_a_message_comes_out_as_it_went_in_and_once(connection: Any) -> None:
    with connection.SimpleQueue("tried-once") as papers:
        papers.put({"number": 7})
        message = papers.get(block=False)
        assert message.payload == {"number": 7}
        message.ack()
        with pytest.raises(Empty):
            papers.get(block=False)


def test_a_message_has_its_name_only_when_it_is_whole(
    connection: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[list[str]] = []
    write = queue_folder.Path.write_text

    def watched(path: Path, text: str, **how: Any) -> int:
        written = write(path, text, **how)
        seen.append([file.suffix for file in (tmp_path / "messages").iterdir()])
        return written

    monkeypatch.setattr(queue_folder.Path, "write_text", watched)
    with connection.SimpleQueue("tried-whole") as papers:
        papers.put({"number": 7})
    assert seen == [[".part"]]
    assert [file.suffix for file in (tmp_path / "messages").iterdir()] == [".msg"]


def test_what_the_worker_is_told() -> None:
    told = app.conf
    assert (told.task_acks_late, told.task_reject_on_worker_lost) == (True, True)
    assert (told.worker_prefetch_multiplier, told.task_ignore_result) == (1, True)
    assert (told.accept_content, told.task_serializer) == (["json"], "json")
    assert told.beat_schedule["sweep"] == {
        "task": "documents.sweep",
        "schedule": 5.0,
        "options": {"expires": 5.0},
    }
    app.loader.import_default_modules()
    assert {"documents.sweep", "documents.render"} <= set(app.tasks)
