"""The page's modules that need no browser do what their own tests say."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from api import system_packages

FOLDER = Path(__file__).parent
FIRST_TO_TELL_MODULES = 22
"""Older Node takes a `.js` file without a package description for the older kind of module unless told."""


def module_options(node: str) -> list[str]:
    said = subprocess.run([node, "--version"], capture_output=True, text=True, check=True).stdout
    major = int(said.removeprefix("v").partition(".")[0])
    return [] if major >= FIRST_TO_TELL_MODULES else ["--experimental-default-type=module"]


@pytest.mark.parametrize("file", sorted(it.name for it in FOLDER.glob("*.test.js")))
def test_a_module_of_the_page_passes_its_own_tests(file: str) -> None:
    node = shutil.which("node")
    if node is None:
        (pytest.fail if system_packages.in_ci() else pytest.skip)("Node is not installed; these tests need it.")

    command = [node, *module_options(node), "--test", str(FOLDER / file)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)

    assert done.returncode == 0, done.stdout + done.stderr
