"""Plan a JSON file: `manage.py plan_file PROBLEM.json --seconds 10 --out PLAN.json`."""

import json
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from jobs.planning.budget import Limits
from jobs.planning.checker import breaches
from jobs.planning.getting_through import nothing_to_do
from jobs.planning.plan_files import write_plan
from jobs.planning.problem import Problem
from jobs.planning.problem_files import read_problem
from jobs.planning.reading import UnreadableError, document_of
from jobs.planning.search import search


class Command(BaseCommand):
    help = "Plan a problem of the form shop-instance/1; the plan is written in the form shop-plan/1."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("problem", type=Path, metavar="PROBLEM.json")
        parser.add_argument("--seconds", type=float, default=10.0, help="how long to search (10)")
        parser.add_argument("--out", type=Path, metavar="PLAN.json", help="where to write it (else printed)")
        parser.add_argument("--seed", type=int, default=1, help="another seed searches in another order (1)")
        parser.add_argument("--workers", type=int, default=2, help="threads of the solver (2)")
        parser.add_argument(
            "--work",
            type=float,
            help="a limit of counted work in place of seconds: the same seed then gives the same plan",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        limits = _limits(options)
        problem = _problem(options["problem"])
        found = search(problem, limits)
        for fault in found.faults:
            self.stderr.write(str(fault))
        if not found.plan.assignments and not nothing_to_do(problem):
            raise CommandError("nothing could be planned")
        wrong = breaches(found.planned or problem, found.plan)
        if wrong:
            raise CommandError("\n".join(map(str, wrong)))
        text = json.dumps(write_plan(found.plan), indent=1, ensure_ascii=False)
        if options["out"] is None:
            self.stdout.write(text)
            return
        try:
            options["out"].write_text(text + "\n", encoding="utf-8")
        except OSError as error:
            raise CommandError(f"{options['out']} cannot be written: {error.strerror}") from error
        proof = " (proven)" if found.proven else f" (at least {found.bound})" if found.bound else ""
        self.stdout.write(f"{options['out']}: objective {found.objective} slots{proof}")


def _limits(options: dict[str, Any]) -> Limits:
    for name, most in (("seconds", 86_400), ("work", 86_400), ("workers", 64)):
        given = options[name]
        if given is not None and not 0 < given <= most:
            raise CommandError(f"--{name} has to be more than 0, and {most} at most")
    if not 0 <= options["seed"] < 2**31:
        raise CommandError("--seed has to be 0 or more, and less than 2147483648")
    seconds = None if options["work"] else max(options["seconds"], 0.1)
    return Limits(seconds, options["work"], options["workers"], options["seed"])


def _problem(path: Path) -> Problem:
    try:
        text = path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise CommandError(f"{path} cannot be read: {error.strerror}") from error
    except UnicodeDecodeError as error:
        raise CommandError(f"{path} is no text in UTF-8, which JSON is: {error.reason}") from error
    try:
        return read_problem(document_of(text))
    except UnreadableError as error:
        raise CommandError(f"{path} was refused:\n{error}") from error
