"""Every calculation cites a source that the bibliography holds, and the package stays pure."""

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

import shop.engineering
from shop.engineering.references import BIBLIOGRAPHY

ENGINEERING = Path(shop.engineering.__file__).parent
MODULES = sorted(ENGINEERING.rglob("*.py"))
NOT_CALCULATING = {ENGINEERING / "words.py", ENGINEERING / "errors.py"}
CITED = re.compile(r"Source: (.+?)(?:\n\s*\n|\Z)", re.DOTALL)


def _functions(module: Path) -> list[ast.FunctionDef]:
    tree = ast.parse(module.read_text(encoding="utf-8"))
    return [node for node in tree.body if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")]


def _keys(text: str) -> list[str]:
    return [
        source.removeprefix(" not").split()[0] for cited in CITED.findall(text) for source in cited.split(";")
    ]


PUBLIC = [
    pytest.param(function, id=f"{module.parent.name}.{module.stem}.{function.name}")
    for module in MODULES
    if module not in NOT_CALCULATING
    for function in _functions(module)
]


@pytest.mark.parametrize("function", PUBLIC)
def test_every_public_function_has_its_papers(function: ast.FunctionDef) -> None:
    told = ast.get_docstring(function) or ""
    keys = _keys(told)
    assert keys
    assert set(keys) <= set(BIBLIOGRAPHY), keys
    assert "Valid " in told
    arguments = [argument.arg for argument in (*function.args.args, *function.args.kwonlyargs)]
    assert [name for name in arguments if f"{name}:" not in told] == []


@pytest.mark.parametrize("key", BIBLIOGRAPHY)
def test_every_reference_is_used(key: str) -> None:
    others = (
        module.read_text(encoding="utf-8") for module in MODULES if not module.name.startswith("references")
    )
    assert any(re.search(rf"(?<![\w-]){re.escape(key)}(?![\w-])", text) for text in others)


def test_importing_it_brings_in_nothing_but_the_standard_library() -> None:
    parts = [module.relative_to(ENGINEERING.parents[1]).with_suffix("").parts for module in MODULES]
    names = ", ".join(".".join(part) for part in parts if part[-1] != "__init__")
    code = (
        f"import sys; before = set(sys.modules); import {names}; "
        "print(*sorted({n.partition('.')[0] for n in set(sys.modules) - before} - sys.stdlib_module_names))"
    )
    root = Path(shop.engineering.__file__).parents[2]
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=root)
    assert run.stdout.split() == ["shop"]
