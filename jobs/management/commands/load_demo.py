"""Load the demo scenario into an empty database."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from jobs.demo.loading import Scenario
from jobs.models import Job
from shop.models import Person


class Command(BaseCommand):
    help = "Load the invented shop with its people, kits, procedure and cars."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--if-empty", action="store_true", help="do nothing where there is data already")

    def handle(self, *args: Any, **options: Any) -> None:
        if Person.objects.exists() or Job.objects.exists():
            if options["if_empty"]:
                return
            raise CommandError("The database is not empty; the demo scenario goes into an empty one.")
        Scenario(timezone.now()).load()
        self.stdout.write("The demo scenario is loaded.")
