"""The rules of the house that no other tool holds."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.conf import settings
from django.template.loader import get_template
from django.urls import URLPattern, URLResolver, get_resolver

ROOT = Path(settings.BASE_DIR)
APPS = ("shop", "parts", "jobs", "documents")
SOURCES = ("shop", "parts", "jobs")

PYTHON_LINES = 300
FUNCTION_LINES = 40
TEMPLATE_LINES = 150
CSS_LINES = 150

DRAWERS = {"utils", "helpers", "services", "common", "misc", "tools", "base"}
SIGNALS = {"django.dispatch", "django.db.models.signals", "django.core.signals", "celery.signals"}
INLINE = {
    "a style element": re.compile(r"<style\b", re.IGNORECASE),
    "a style attribute": re.compile(r"<[^>]*\sstyle\s*=", re.IGNORECASE),
    "an event attribute": re.compile(r"<[^>]*\s(on[a-z]+|hx-on[a-z:-]*)\s*=", re.IGNORECASE),
    "a script of its own": re.compile(
        r"<script\b(?![^>]*\b(src=|type=\"application/json\"))[^>]*>", re.IGNORECASE
    ),
    "a script address": re.compile(r"[\"']javascript:", re.IGNORECASE),
}


def listed(offenders: list[str]) -> str:
    return "\n".join(offenders)


def python_files(*folders: str) -> list[Path]:
    return [
        path
        for folder in folders
        for path in sorted((ROOT / folder).rglob("*.py"))
        if "migrations" not in path.parts
    ]


def templates() -> list[Path]:
    return sorted((ROOT / "templates").rglob("*.*"))


def own_styles() -> list[Path]:
    return sorted((ROOT / "static" / "css").rglob("*.css"))


def line_count(path: Path) -> int:
    return len(path.read_text(encoding="utf-8").splitlines())


def too_long(paths: list[Path], limit: int) -> list[str]:
    return [f"{path.relative_to(ROOT)}: {n}" for path in paths if (n := line_count(path)) > limit]


def functions(path: Path) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def imported(path: Path) -> set[str]:
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            names |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    return names


def own_addresses(
    resolver: URLResolver | None = None, app: str | None = None
) -> Iterator[tuple[str, URLPattern]]:
    """Every named address of our own apps."""
    for pattern in (resolver or get_resolver()).url_patterns:
        if isinstance(pattern, URLResolver):
            yield from own_addresses(pattern, pattern.app_name or app)
        elif app in APPS:
            yield app, pattern


def page_templates() -> list[tuple[str, str]]:
    """App and name of every template that is a page of its own."""
    return [
        (app, path.stem)
        for app in APPS
        for path in sorted((ROOT / "templates" / app).glob("*.html"))
        if not path.name.startswith("_")
    ]


def test_python_files_stay_short() -> None:
    paths = [ROOT / "manage.py", *python_files(*SOURCES, "tests")]
    assert listed(too_long(paths, PYTHON_LINES)) == ""


def test_functions_stay_short() -> None:
    long = [
        f"{path.relative_to(ROOT)}:{node.lineno} {node.name}: {length}"
        for path in python_files(*SOURCES, "tests")
        for node in functions(path)
        if (length := (node.end_lineno or node.lineno) - node.lineno + 1) > FUNCTION_LINES
    ]
    assert listed(long) == ""


def test_templates_stay_short() -> None:
    assert listed(too_long(templates(), TEMPLATE_LINES)) == ""


def test_styles_stay_short() -> None:
    assert listed(too_long(own_styles(), CSS_LINES)) == ""


def test_modules_are_named_for_the_work() -> None:
    assert listed([str(p.relative_to(ROOT)) for p in python_files(*SOURCES) if p.stem in DRAWERS]) == ""


def test_nothing_happens_by_signal() -> None:
    receivers = [str(p.relative_to(ROOT)) for p in python_files(*SOURCES) if imported(p) & SIGNALS]
    assert listed(receivers) == ""


def test_every_template_loads() -> None:
    for path in templates():
        get_template(str(path.relative_to(ROOT / "templates")))


@pytest.mark.parametrize("kind", INLINE)
def test_templates_hold_no_inline(kind: str) -> None:
    offenders = [
        f"{path.relative_to(ROOT)}: {found.group(0)[:60]}"
        for path in templates()
        for found in INLINE[kind].finditer(path.read_text(encoding="utf-8"))
    ]
    assert listed(offenders) == ""


def test_an_address_carries_the_name_of_its_view() -> None:
    strange = [
        f"{app}:{pattern.name} is answered by {pattern.callback.__name__}"
        for app, pattern in own_addresses()
        if pattern.name != pattern.callback.__name__
    ]
    assert listed(strange) == ""


def test_a_page_carries_the_name_of_its_view() -> None:
    """Or of a state of it: `tablet_unassigned` is what `tablet` shows without a bay."""
    names = {(app, str(pattern.name)) for app, pattern in own_addresses()}
    assert (
        listed(
            [
                f"{app}/{page}.html"
                for app, page in page_templates()
                if not any(app == of and f"{page}_".startswith(f"{name}_") for of, name in names)
            ]
        )
        == ""
    )


def test_a_page_has_a_test_of_its_name_or_one_that_asks_for_it() -> None:
    """Or for the view of which it is a state: `own_secret_gone` is what `own_secret` shows too late."""
    texts = {path.stem: path.read_text() for path in (ROOT / "tests").rglob("*.py")}
    asked = "\n".join(text for name, text in texts.items() if name != "test_access")
    views = [(app, str(pattern.name)) for app, pattern in own_addresses()]
    untested = [
        f"{app}/{page}.html"
        for app, page in page_templates()
        if f"test_{page}" not in texts
        and not any(
            app == of and f"{page}_".startswith(f"{view}_") and f'"{of}:{view}"' in asked
            for of, view in views
        )
    ]
    assert listed(untested) == ""


def test_the_lock_of_developers_holds_that_of_the_runtime() -> None:
    pin = re.compile(r"^(\S+==\S+)", re.MULTILINE)
    runtime, development = (
        set(pin.findall((ROOT / "requirements" / f"{name}.txt").read_text()))
        for name in ("runtime", "development")
    )
    assert runtime
    assert runtime - development == set()
