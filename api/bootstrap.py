"""Prepare the Python environment that the service and the tests run in, with the standard library alone."""

from __future__ import annotations

import hashlib
import os
import shlex
import shutil
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from api import system_packages

if TYPE_CHECKING:
    from collections.abc import Sequence

ROOT = Path(__file__).resolve().parent.parent
SUPPORTED_MINORS = (11, 12, 13)
STAMP = "ventsleuth-installed.txt"
BUILD = "requirements-build.txt"
LENIENT = "-Wno-error=implicit-function-declaration -Wno-error=int-conversion"
"""The engine names a function that Python 3.13 dropped and nobody calls; GCC 14 and Clang 16 refuse that otherwise."""

REQUIREMENTS = {"service": "requirements.txt", "tests": "requirements-test.txt"}


class SetupStopped(Exception):
    """Set-up cannot go on; the message says why and what to do next."""


def prepare(purpose: str, root: Path = ROOT) -> Path:
    """Return the Python of an environment ready for "service" or "tests", setting it up when it is not.

    Raises SetupStopped when this machine lacks something or a package cannot be installed.
    """
    require_supported_python(sys.version_info[:2])
    environment = environment_folder(root)
    python = environment / "bin" / "python"
    if is_ready(environment, purpose, root):
        return python
    if not _succeeds(python, "import durable"):
        require_build_tools()
    print(f"Setting up Ventsleuth in {environment}. This takes a minute or two, once.", flush=True)
    create(environment)
    install(python, purpose, root)
    mark_ready(environment, purpose, root)
    return python


def require_supported_python(version: Sequence[int]) -> None:
    """Raise SetupStopped when this Python is not one we support, naming one that is on the path."""
    if version[0] == 3 and version[1] in SUPPORTED_MINORS:
        return
    names = [f"python3.{minor}" for minor in SUPPORTED_MINORS]
    found = next((name for name in names if shutil.which(name)), None)
    step = f"run the same command with {found}." if found else "install one and run the same command with it."
    this = f"{version[0]}.{version[1]}"
    raise SetupStopped(f"Ventsleuth needs Python 3.11, 3.12 or 3.13; this is {this}.\nNext: {step}")


def environment_folder(root: Path) -> Path:
    """Return the virtual environment we are in, else the one of this Python version under `.venv`."""
    if sys.prefix != sys.base_prefix:
        return Path(sys.prefix)
    return root / ".venv" / f"{sys.version_info[0]}.{sys.version_info[1]}"


def is_ready(environment: Path, purpose: str, root: Path) -> bool:
    """Say whether everything for this purpose was installed and its requirements have not changed since."""
    stamp = environment / STAMP
    if not stamp.is_file() or not (environment / "bin" / "python").exists():
        return False
    installed = set(stamp.read_text(encoding="utf-8").splitlines())
    return installed.issuperset(_fingerprint(purpose, root).splitlines())


def mark_ready(environment: Path, purpose: str, root: Path) -> None:
    """Note in the environment which requirements were installed for this purpose."""
    (environment / STAMP).write_text(_fingerprint(purpose, root), encoding="utf-8")


def require_build_tools() -> None:
    """Raise SetupStopped, naming packages, when the engine cannot be compiled; in CI try to install them."""
    lacks = system_packages.lacks_for_build()
    if lacks and system_packages.in_ci() and system_packages.can_install():
        system_packages.install(lacks)
        lacks = system_packages.lacks_for_build()
    if lacks:
        raise SetupStopped(build_tools_message(lacks, system_packages.system_family()))


def build_tools_message(lacks: Sequence[system_packages.Lack], family: str) -> str:
    """Return what to tell a person whose machine lacks these."""
    named = " and ".join(lack.what for lack in lacks)
    command = system_packages.install_command(lacks, family)
    step = command or f"install {named} with this system's package tool"
    return (
        f"Set-up stopped: this machine lacks {named}.\n"
        f"One part of Ventsleuth is compiled during set-up and needs it.\nNext: {step}\n"
        "Then run the same command again."
    )


def create(environment: Path) -> None:
    """Make the virtual environment, or leave it alone when it works or is one that we were started in."""
    if environment == Path(sys.prefix) or _succeeds(environment / "bin" / "python", "import pip"):
        return
    _run([sys.executable, "-m", "venv", "--clear", str(environment)], "make a virtual environment")


def install(python: Path, purpose: str, root: Path) -> None:
    """Install the pinned packages and the project into the environment of this Python."""
    pip = [str(python), "-m", "pip", "install", "--quiet", "--no-input", "--disable-pip-version-check"]
    locked = [*pip, "--no-build-isolation", "--require-hashes", "-r"]
    _run([*locked, str(root / BUILD)], "install the build tools")
    _run([*locked, str(root / REQUIREMENTS[purpose])], "install the packages")
    _run([*pip, "--no-build-isolation", "--no-deps", "--editable", str(root)], "install Ventsleuth itself")


def _run(command: Sequence[str], task: str) -> None:
    done = subprocess.run(
        command, env=_settings(), stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False
    )
    if done.returncode == 0:
        return
    raise SetupStopped(
        f"Set-up stopped: could not {task}. The last lines it wrote:\n{_tail(done.stdout + done.stderr)}\n"
        "Next: check that this machine is online and reaches a Python package index, "
        "then run the same command again."
    )


def _settings() -> dict[str, str]:
    """Return the variables for commands that may compile: the compiler, where one was found, and what it lets pass."""
    compiler = system_packages.find_compiler()
    return {**os.environ, "CC": f"{shlex.join(compiler)} {LENIENT}"} if compiler else dict(os.environ)


def _tail(output: str, count: int = 6) -> str:
    telling = [line for line in output.splitlines() if line.strip() and not line.startswith("WARNING:")]
    return "\n".join(f"  {line}" for line in telling[-count:])


def _succeeds(python: Path, code: str) -> bool:
    return (
        python.exists() and subprocess.run([str(python), "-c", code], capture_output=True, check=False).returncode == 0
    )


def _fingerprint(purpose: str, root: Path) -> str:
    names = [BUILD, *REQUIREMENTS.values()] if purpose == "tests" else [BUILD, REQUIREMENTS[purpose]]
    digests = [f"{hashlib.sha256((root / name).read_bytes()).hexdigest()} {name}" for name in names]
    project = hashlib.sha256((root / "pyproject.toml").read_bytes()).hexdigest()
    return "\n".join([*digests, f"{project} {root}"])
