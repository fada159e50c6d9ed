"""The bench: a large shop is made in a folder of its own, measured, and thrown away."""

import os
import sys
import tempfile
from pathlib import Path


def main() -> None:
    with tempfile.TemporaryDirectory(prefix="scribeline-bench-") as folder:
        os.environ.update(SCRIBELINE_VAR=folder, DJANGO_SETTINGS_MODULE="shop.settings")
        _set_up()
        from tests.bench.pages import lines

        for line in lines():
            print(line, flush=True)


def _set_up() -> None:
    import django
    from django.conf import settings

    settings.ROOT_URLCONF = "tests.bench.bare"
    settings.ALLOWED_HOSTS = ["*"]
    settings.TEMPLATES[0]["DIRS"] = [*settings.TEMPLATES[0]["DIRS"], Path(__file__).parent / "templates"]
    plain = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
    settings.STORAGES = {**settings.STORAGES, "staticfiles": plain}
    django.setup()
    from django.core.management import call_command

    call_command("migrate", verbosity=0)
    call_command("load_demo", stdout=sys.stderr)


if __name__ == "__main__":
    main()
