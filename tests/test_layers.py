"""Imports go one way: api, then diag, then knowledge; one module owns the rule-engine package."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
MAY_IMPORT = {"knowledge": set(), "diag": {"knowledge"}, "api": {"diag", "knowledge"}}
OURS = {"knowledge", "diag", "api", "tests"}
ENGINE_PACKAGE = {"durable", "durable_rules_engine"}
BORDER = {"fastapi", "starlette", "uvicorn", "sqlalchemy", "click"}


def imported(path: Path) -> Iterator[str]:
    """Yield the top name of every import of a file."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name.split(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
            yield node.module.split(".")[0]


@pytest.mark.parametrize("layer", MAY_IMPORT)
def test_a_layer_imports_only_the_layers_below_it(layer: str) -> None:
    wrong = {
        f"{path.relative_to(ROOT)} imports {name}"
        for path in (ROOT / layer).rglob("*.py")
        for name in imported(path)
        if name in OURS - {layer} - MAY_IMPORT[layer]
    }

    assert wrong == set()


def test_one_module_imports_the_rule_engine_package() -> None:
    ours = [path for layer in MAY_IMPORT for path in (ROOT / layer).rglob("*.py")]
    owners = {path.name for path in ours if ENGINE_PACKAGE & set(imported(path))}

    assert owners <= {"engine_package.py"}


def test_the_reasoning_knows_nothing_of_http_database_or_command_line() -> None:
    wrong = {path.name for path in (ROOT / "diag").rglob("*.py") if BORDER & set(imported(path))}

    assert wrong == set()
