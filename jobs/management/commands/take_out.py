"""Write a procedure or a kit out as its file."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from jobs.models import ProcedureRevision
from jobs.procedures.bringing_in import export_procedure
from parts.kit_files import kit_file
from parts.models import KitRevision


class Command(BaseCommand):
    help = "Write the file of a procedure or a kit to standard output: take_out procedure FC-210 B"

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("what", choices=["procedure", "kit"])
        parser.add_argument("code")
        parser.add_argument("revision")

    def handle(self, *args: Any, **options: Any) -> None:
        code, revision = options["code"], options["revision"]
        text = _procedure(code, revision) if options["what"] == "procedure" else _kit(code, revision)
        if text is None:
            raise CommandError(f"there is no {options['what']} {code} {revision}")
        self.stdout.write(text, ending="")


def _procedure(code: str, revision: str) -> str | None:
    found = ProcedureRevision.objects.filter(procedure__code=code, revision=revision).first()
    return export_procedure(found) if found else None


def _kit(code: str, revision: str) -> str | None:
    found = KitRevision.objects.filter(kit__code=code, revision=revision).first()
    return kit_file(found).decode() if found else None
