"""The service answers as its OpenAPI document says, whatever is sent.

Outside check: schemathesis with all its checks over every operation, on SQLite and PostgreSQL.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from api.app import Settings
from tests.api.serving import serving

CONFIG = Path(__file__).with_name("schemathesis.toml")
EXAMPLES = os.environ.get("VENTSLEUTH_EXAMPLES", "1")
"""Requests tried for each operation; more when asked for."""

OPTIONS = ("--exclude-path-regex", "/stream$", "--seed", "20260504", "--no-color", "--request-timeout", "30")
"""The live stream is left out because it does not end; tests/api/test_case_stream.py reads it."""


PHASES = {"sqlite": "examples,coverage,fuzzing,stateful", "postgresql": "examples,fuzzing"}
"""What is refused by its form is refused before the database is asked, so that one database is enough for that."""


@pytest.mark.parametrize("kind", PHASES)
def test_every_operation_answers_as_the_document_says(
    kind: str, new_database: Callable[[str], Path | str], tmp_path: Path
) -> None:
    with serving(Settings(new_database(kind), demos=("small",))) as address:
        command = [sys.executable, "-m", "schemathesis.cli", "--config-file", str(CONFIG), "run"]
        told = [f"{address}/openapi.json", "--max-examples", EXAMPLES, "--phases", PHASES[kind], *OPTIONS]
        done = subprocess.run([*command, *told], capture_output=True, text=True, cwd=tmp_path, check=False)

    assert done.returncode == 0, done.stdout[-8000:] + done.stderr[-2000:]
    assert "Tested: " in done.stdout
