"""The page's modules that need no browser do what their own tests say."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from api import system_packages
from knowledge.load import Knowledge

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


def test_every_picture_of_probes_belongs_to_a_check_that_is_measured(knowledge: Knowledge) -> None:
    module = (FOLDER.parents[1] / "api" / "page" / "probes.js").read_text(encoding="utf-8")
    drawn = set(re.findall(r'^ {2}"([a-z-]+)": ', module, re.MULTILINE))

    assert len(drawn) > 20
    assert {it for it in drawn if knowledge.checks[it].kind != "measure"} == set()
    dead = {it for it in drawn if it.startswith(("ohms-", "insulation-")) and it != "ohms-link-pair"}
    assert {it for it in dead if "prove dead" not in knowledge.checks[it].how} == set()
