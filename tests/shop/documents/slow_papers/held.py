"""The held paper: its first attempt goes on only when the test takes the file `hold` away."""

import time
from pathlib import Path

from django.conf import settings

from shop.documents.kinds import Paper, Subject
from shop.documents.models import Document

GLANCE_S = 0.05


def bench(stream: str) -> Subject | None:
    return Subject("Bench", "/") if stream.startswith("bench/") else None


def build_held(document: Document) -> Paper:
    var = Path(settings.VAR_DIR)
    (var / f"begun-{document.pk}-{document.attempt}").touch()
    while document.attempt == 1 and (var / "hold").exists():
        time.sleep(GLANCE_S)
    return Paper("documents/tests/slip.html", {"issue": document.issue}, "Held slip")
