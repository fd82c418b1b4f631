"""Where the browser for tests is, and what to say when there is none."""

from __future__ import annotations

import os
import shutil

from api import system_packages

CHROMIUM = system_packages.Lack("Chromium", dict.fromkeys(("debian", "fedora", "alpine"), ("chromium",)))


def find_chromium() -> str | None:
    """Return the path of the browser: the one CHROMIUM names, else the system's, else None."""
    return shutil.which(os.environ.get("CHROMIUM") or "chromium")


def missing_message() -> str:
    """Return what a person does to get the browser, in one line."""
    command = system_packages.install_command([CHROMIUM], system_packages.system_family())
    step = command or "install Chromium"
    return f"Chromium was not found. Next: {step}, or name its program in CHROMIUM."
