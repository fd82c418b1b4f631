"""What an installed Ventsleuth contains."""

from __future__ import annotations

import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from api.bootstrap import ROOT

PACKAGES = ("api", "diag", "knowledge")
LEFT_OUT = shutil.ignore_patterns("__pycache__")


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> zipfile.ZipFile:
    """The distribution built from a copy of this checkout, so that nothing is written into it."""
    copy = tmp_path_factory.mktemp("checkout")
    for package in PACKAGES:
        shutil.copytree(ROOT / package, copy / package, ignore=LEFT_OUT)
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, copy / name)
    options = [
        "--quiet",
        "--no-deps",
        "--no-build-isolation",
        "--no-index",
        "--wheel-dir",
        str(copy / "dist"),
    ]
    subprocess.run([sys.executable, "-m", "pip", "wheel", *options, str(copy)], check=True, cwd=copy)
    return zipfile.ZipFile(next((copy / "dist").glob("ventsleuth-*.whl")))


def test_every_file_of_the_packages_is_installed(wheel: zipfile.ZipFile) -> None:
    files = [path for package in PACKAGES for path in (ROOT / package).rglob("*") if path.is_file()]
    sources = {path.relative_to(ROOT).as_posix() for path in files if "__pycache__" not in path.parts}

    assert sources - set(wheel.namelist()) == set()


def test_nothing_else_is_installed(wheel: zipfile.ZipFile) -> None:
    folders = {Path(name).parts[0] for name in wheel.namelist()}

    assert {folder for folder in folders if not folder.endswith(".dist-info")} == set(PACKAGES)
