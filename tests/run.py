"""Run every check of a bare checkout: style, types and tests; further arguments go to pytest."""

from __future__ import annotations

import subprocess
import sys
from typing import TYPE_CHECKING

from api import system_packages
from api.bootstrap import ROOT, SetupStopped, prepare
from tests import chromium, postgres

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

CHECKS = (
    ("style", ("ruff", "check", ".")),
    ("format", ("ruff", "format", "--check", ".")),
    ("types", ("mypy",)),
)
ALL_CORES = ("-n", "auto", "--dist", "loadfile")
"""One test process a core; a file's tests stay together, for they share what it set up."""


def main() -> int:
    """Run all checks, whichever fail, and return 0 only when every one passed."""
    try:
        python = str(prepare("tests"))
        require("Chromium for the browser tests", chromium.CHROMIUM, chromium.find_chromium, chromium.missing_message)
        require(
            "PostgreSQL for the database tests", postgres.POSTGRESQL, postgres.find_programs, postgres.missing_message
        )
    except SetupStopped as stopped:
        print(stopped, file=sys.stderr)
        return 1
    failed = [name for name, module in CHECKS if not _passes(name, [python, "-m", *module])]
    failed += [] if _passes("tests", [python, "-m", "pytest", *ALL_CORES, *sys.argv[1:]]) else ["tests"]
    if failed:
        print(f"These checks failed: {', '.join(failed)}.", file=sys.stderr)
    return 1 if failed else 0


def require(
    what: str, lack: system_packages.Lack, find: Callable[[], object], missing_message: Callable[[], str]
) -> None:
    """Install a program where that is allowed; otherwise say which tests will be skipped.

    Raises SetupStopped in CI, where a skipped test would look like a passed one.
    """
    if not find() and system_packages.can_install():
        print(f"Installing {what}.", flush=True)
        system_packages.install([lack])
    if find():
        return
    if system_packages.in_ci():
        raise SetupStopped(missing_message())
    print(f"{missing_message()}\nUntil then the tests that need it are skipped.", flush=True)


def _passes(name: str, command: Sequence[str]) -> bool:
    print(f"== {name}", flush=True)
    return subprocess.run(command, cwd=ROOT, stdin=subprocess.DEVNULL, check=False).returncode == 0


if __name__ == "__main__":
    sys.exit(main())
