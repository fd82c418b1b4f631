"""A cause that leaves an output without voltage says so of the drive too."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.diag.tiny_knowledge import CHECKS, CORE_OPEN, faults_in, write_knowledge

CORE = "causes/wiring/core-open.yaml"
OUTPUT_CHECK = (
    CHECKS.split("- id: ohms-core")[0].replace("volts-drive", "volts-output").replace("at: drive", "at: output")
)
OUTPUT = "  - check: volts-output\n    outcomes: {none: OFTEN}\n    because: Nothing leaves.\n"
DRIVE = (
    "  - check: volts-drive\n    outcomes: {none: usually, normal: seldom}\n    because: A break leaves no voltage.\n"
)


def faults_of(folder: Path, core: str) -> list[str]:
    """Return the faults with a check of the output beside that of the drive."""
    return faults_in(write_knowledge(folder, {"checks/operate.yaml": OUTPUT_CHECK, CORE: core}))


@pytest.mark.parametrize("often", ["always", "usually", "often, normal: often"])
def test_no_voltage_at_the_output_without_a_word_of_the_drive_is_told(tmp_path: Path, often: str) -> None:
    core = CORE_OPEN.replace(DRIVE, OUTPUT.replace("OFTEN", often))

    assert (
        f"{CORE}:20:15: checks.0.outcomes: core-open shows none at volts-output and does not name volts-drive:"
        " what does not leave the output does not arrive at the drive; add volts-drive"
    ) in faults_of(tmp_path, core)


def test_both_named_have_no_faults(tmp_path: Path) -> None:
    assert faults_of(tmp_path, CORE_OPEN.replace(DRIVE, OUTPUT.replace("OFTEN", "usually") + DRIVE)) == []


def test_an_output_that_seldom_lacks_voltage_says_nothing_of_the_drive(tmp_path: Path) -> None:
    core = CORE_OPEN.replace(DRIVE, OUTPUT.replace("OFTEN", "seldom, normal: usually"))

    assert not any("does not name" in it for it in faults_of(tmp_path, core))
