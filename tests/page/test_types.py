"""The types that the page's modules name in their remarks hold."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

FOLDER = Path(__file__).parent
CHECKER = FOLDER / "node_modules" / ".bin" / "tsc"
INSTALL = ("ci", "--ignore-scripts", "--no-audit", "--no-fund", "--prefer-offline")


@pytest.fixture(scope="module")
def checker() -> str:
    """Return the type checker, fetched once as the lock file names it; without npm or a network the test is skipped."""
    npm = shutil.which("npm")
    if npm is None:
        pytest.skip("npm is not installed; the types of the page's modules are not checked without it.")
    if not CHECKER.exists():
        done = subprocess.run([npm, *INSTALL], cwd=FOLDER, capture_output=True, text=True, check=False)
        if done.returncode:
            pytest.skip(f"The type checker cannot be fetched: {done.stderr.strip()[-200:]}")
    return str(CHECKER)


def _check(checker: str, project: Path) -> str:
    done = subprocess.run([checker, "-p", str(project)], capture_output=True, text=True, check=False)
    return done.stdout


def test_every_module_of_the_page_keeps_to_its_types(checker: str) -> None:
    assert _check(checker, FOLDER / "tsconfig.json") == ""


def test_a_module_that_breaks_its_types_is_found(checker: str, tmp_path: Path) -> None:
    settings = (FOLDER / "tsconfig.json").read_text(encoding="utf-8").replace("../../api/page/**/*.js", "*.js")
    (tmp_path / "tsconfig.json").write_text(settings, encoding="utf-8")
    (tmp_path / "wrong.js").write_text('export const wrong = "three".length.toUpperCase();\n', encoding="utf-8")

    assert "toUpperCase" in _check(checker, tmp_path / "tsconfig.json")
