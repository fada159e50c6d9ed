"""Read the whole record again and name every row changed, removed, added or reordered."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from shop.verification import verify_record


class Command(BaseCommand):
    help = "Verify the chain of events and the evidence that it names."

    def handle(self, *args: Any, **options: Any) -> None:
        found = verify_record()
        for finding in found.findings:
            self.stdout.write(str(finding))
        counted = f"{found.streams} streams, {found.events} events, {found.rows} rows"
        if not found.is_whole:
            raise CommandError(f"{len(found.findings)} findings in {counted}")
        self.stdout.write(f"the record is whole: {counted}")
