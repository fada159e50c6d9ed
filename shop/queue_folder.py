"""The queue where no broker runs: a folder of messages, as kombu's filesystem transport keeps it.

Its writer makes the file first and fills it afterwards, so that a worker looking in between reads half a
message and falls over. Here a message takes its name only when it is whole.
"""

import time
import uuid
from pathlib import Path
from typing import Any

from kombu.transport import filesystem
from kombu.utils.json import dumps


class Channel(filesystem.Channel):
    # kombu's own bases name the second argument differently
    def _put(self, queue: str, payload: Any, **kwargs: Any) -> None:  # type: ignore[override]
        name = f"{round(time.monotonic() * 1000)}_{uuid.uuid4()}.{queue}.msg"
        folder = Path(self.data_folder_out)
        part = folder / f"{uuid.uuid4()}.part"
        part.write_text(dumps(payload), encoding="utf-8")  # type: ignore[no-untyped-call]
        part.replace(folder / name)


class Transport(filesystem.Transport):
    Channel = Channel
