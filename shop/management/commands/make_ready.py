"""All that stands between an empty folder and the first page."""

from concurrent.futures import ThreadPoolExecutor
from hashlib import sha256
from io import StringIO
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.staticfiles.finders import get_finders
from django.core.management import BaseCommand, call_command
from django.urls import reverse

from shop.first_manager import first_code, is_empty


class Command(BaseCommand):
    help = "Bring the database up to date, load the demo shop into an empty one, collect static files."
    requires_system_checks = []

    def handle(self, *args: Any, **options: Any) -> None:
        with ThreadPoolExecutor(max_workers=1) as aside:  # it needs no database, the rest nothing else
            collected = aside.submit(collect_static)
            call_command("migrate", interactive=False, verbosity=0)
            if settings.DEMO:
                call_command("load_demo", if_empty=True, stdout=self.stderr)
            collected.result()
        self.stdout.write(f"Scribeline: {settings.SITE_ADDRESS}/")
        call_command("demo_sign_ins", stdout=self.stdout)
        if is_empty():
            page = f"{settings.SITE_ADDRESS}{reverse('shop:first_manager')}"
            self.stdout.write("Nobody belongs to the shop yet. Its first manager begins it on this page:")
            self.stdout.write(f"  {page} with the code {first_code()}")


def collect_static() -> None:
    """Collected only when a source has changed: naming and compressing them takes seconds."""
    mark = Path(settings.STATIC_ROOT).with_suffix(".mark")
    print_of_sources = static_fingerprint()
    if mark.exists() and mark.read_text() == print_of_sources:
        return
    call_command("collectstatic", interactive=False, verbosity=0, stdout=StringIO())
    mark.write_text(print_of_sources)


def static_fingerprint() -> str:
    """Changes with the name, the size or the time of any static file."""
    seen = sha256()
    for finder in get_finders():
        for path, storage in finder.list([]):
            facts = Path(storage.path(path)).stat()
            seen.update(f"{path} {facts.st_size} {facts.st_mtime_ns}\n".encode())
    return seen.hexdigest()
