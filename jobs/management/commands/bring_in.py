"""Bring procedures, kits and packing slips in from files: all of them, or nothing."""

import datetime as dt
from argparse import ArgumentParser
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import transaction
from django.utils import timezone

from jobs.file_kinds import ORDER, FileKind, kind_of_file
from jobs.procedures.bringing_in import bring_in_procedure
from parts.kit_files import bring_in_kit
from parts.slip_files import bring_in_slip
from shop.file_errors import FileError, FileErrors
from shop.models import Person, Role

UNKNOWN = (
    "is no file that this shop knows: a procedure begins with “format: 1”, a kit has the columns kit and"
    " part_number, a packing slip order and slip"
)


class Command(BaseCommand):
    help = "Bring in procedures (YAML), kits and packing slips (CSV). Nothing is saved unless all is right."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("files", nargs="+", type=Path, metavar="FILE")
        parser.add_argument("--release", action="store_true", help="release procedures and kits at once")
        parser.add_argument("--replace-draft", action="store_true", help="replace a draft of that revision")
        parser.add_argument(
            "--released-by",
            metavar="USERNAME",
            help="who releases it, where whoever brings it in may not be the only eyes on it",
        )
        parser.add_argument("--by", metavar="USERNAME", help="who brings it in (else the first manager)")

    def handle(self, *args: Any, **options: Any) -> None:
        by, now = _person(options["by"]), timezone.now()
        name = options["released_by"]
        options["released_by"] = _person(name) if name else None
        said: list[str] = []
        errors = 0
        with transaction.atomic():
            for path, content, kind in _in_order(options["files"]):
                try:
                    with transaction.atomic():
                        lines = _brought_in(content, kind, by=by, now=now, options=options)
                        said += [f"{path}: {line}" for line in lines]
                except FileErrors as refused:
                    errors += len(refused.errors)
                    self.stderr.write("\n".join(f"{path}: {error}" for error in refused.errors))
            if errors:
                transaction.set_rollback(True)
        if errors:
            raise CommandError(f"{errors} errors; nothing was saved")
        self.stdout.write("\n".join(said))


def _person(username: str | None) -> Person:
    people = Person.objects.filter(is_active=True)
    if username:
        person = people.filter(username=username).first()
        if person is None:
            raise CommandError(f"there is nobody with the user name “{username}”")
        return person
    manager = people.filter(role=Role.MANAGER).order_by("pk").first()
    if manager is None:
        raise CommandError("there is no manager yet; say who brings it in with --by USERNAME")
    return manager


def _in_order(paths: Sequence[Path]) -> list[tuple[Path, bytes, FileKind | None]]:
    """The files with what they hold, kits first, so that a procedure finds its kit."""
    found = []
    for path in paths:
        try:
            content = path.read_bytes()
        except OSError as fault:
            raise CommandError(f"{path}: {fault.strerror}") from fault
        found.append((path, content, kind_of_file(content)))
    return sorted(found, key=lambda item: ORDER[item[2]] if item[2] else 0)


def _brought_in(
    content: bytes, kind: FileKind | None, *, by: Person, now: dt.datetime, options: dict[str, Any]
) -> list[str]:
    """Bring in one file; what there is to say of it."""
    if kind is FileKind.PROCEDURE:
        brought = bring_in_procedure(
            content,
            by=by,
            now=now,
            release=options["release"],
            replace_draft=options["replace_draft"],
            released_by=options["released_by"],
        )
        said = f"procedure {brought.revision}: {brought.news}, {brought.revision.get_state_display()}"
        return [*(f"mind: {warning}" for warning in brought.warnings), said]
    if kind is FileKind.KIT:
        kit = bring_in_kit(
            content,
            by=by,
            now=now,
            release=options["release"],
            released_by=options["released_by"],
        )
        return [f"kit {kit}: {kit.get_state_display()}"]
    if kind is FileKind.SLIP:
        return [f"packing slip {bring_in_slip(content, by=by, now=now)}"]
    raise FileErrors([FileError(1, "", UNKNOWN)])
