"""The model stands on the description, the calculators and the trade alone, never on the knowledge base."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

PACKAGE = Path(__file__).parents[3] / "diag" / "virtual"
LOADS = """
import importlib, pkgutil, sys
import diag.virtual
for it in pkgutil.iter_modules(diag.virtual.__path__, "diag.virtual."):
    importlib.import_module(it.name)
print([name for name in sys.modules if name.split(".")[0] == "knowledge"])
print(len([name for name in sys.modules if name.startswith("diag.virtual.")]))
"""


def test_loading_the_whole_model_loads_nothing_of_the_knowledge_base() -> None:
    ran = subprocess.run(
        [sys.executable, "-c", LOADS], capture_output=True, text=True, check=True, cwd=PACKAGE.parents[1]
    )
    found, loaded = ran.stdout.split("\n")[:2]
    assert found == "[]"
    assert int(loaded) >= 20


def test_no_module_of_the_model_imports_the_knowledge_base_or_the_reasoning_over_it() -> None:
    allowed = ("diag.virtual", "diag.site", "diag.topology", "diag.calculators")
    ours = [name for path in sorted(PACKAGE.glob("*.py")) for name in _imported(path) if name.split(".")[0] in OURS]
    assert ours != []
    assert [name for name in ours if not name.startswith(allowed)] == []


OURS = ("diag", "knowledge", "api", "tests")


def _imported(path: Path) -> list[str]:
    found: list[str] = []
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            found.append(node.module)
        elif isinstance(node, ast.Import):
            found += [it.name for it in node.names]
    return found
