"""Say who can sign in to the demo scenario, where it is loaded."""

from typing import Any

from django.core.management.base import BaseCommand

from jobs.demo.files import read_yaml
from shop.models import Person


class Command(BaseCommand):
    help = "Print the demo scenario's names, passwords and PINs that still hold."

    def handle(self, *args: Any, **options: Any) -> None:
        known = {p.username: p for p in Person.objects.filter(is_active=True)}
        entries = [e for e in read_yaml("shop.yaml")["people"] if e["username"] in known]
        if not entries:
            return
        self.stdout.write("Demo sign-ins, all invented (name, password at a desk, PIN at a tablet):")
        for entry in entries:
            role = known[entry["username"]].get_role_display()
            self.stdout.write(
                f"  {entry['username']:<10} {entry['password']:<22} {entry['pin']}   {role}, {entry['name']}"
            )
