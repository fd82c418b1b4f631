"""Which system packages set-up and tests lack on this machine, and the command that installs them here."""

from __future__ import annotations

import os
import shlex
import shutil
import subprocess
import sys
import sysconfig
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

COMPILER = {"debian": ("gcc", "libc6-dev"), "fedora": ("gcc",), "alpine": ("gcc", "musl-dev")}
INSTALLERS = {
    "debian": "apt-get install",
    "fedora": "dnf install",
    "alpine": "apk add",
    "macos": "xcode-select --install",
}


@dataclass(frozen=True)
class Lack:
    """Something this machine has not got, and the packages that bring it, by family of systems."""

    what: str
    packages: Mapping[str, tuple[str, ...]]


def system_family(os_release: Path = Path("/etc/os-release")) -> str:
    """Return debian, fedora, alpine, macos or other."""
    if sys.platform == "darwin":
        return "macos"
    names = _like(os_release)
    if names & {"debian", "ubuntu"}:
        return "debian"
    if names & {"fedora", "rhel", "centos"}:
        return "fedora"
    return "alpine" if "alpine" in names else "other"


def lacks_for_build(include_folder: str | None = None, compiler: Sequence[str] | None = None) -> list[Lack]:
    """Return what compiling the engine package needs and is not here: compiler, Python headers, venv.

    The compiler is tried on a small program: some systems ship a `cc` that only says how to get one.
    """
    lacks = []
    if not compiles(find_compiler() if compiler is None else compiler):
        lacks.append(Lack("a C compiler", COMPILER))
    header = Path(include_folder or sysconfig.get_path("include"), "Python.h")
    if not header.is_file():
        lacks.append(Lack(f"the Python headers ({header})", _python_package("dev", "devel")))
    if not _has_venv():
        lacks.append(Lack("the venv module of Python", _python_package("venv", "libs")))
    return lacks


def find_compiler() -> tuple[str, ...]:
    """Return the words of the first C compiler on the path, preferring the one that built this Python."""
    for command in (os.environ.get("CC"), sysconfig.get_config_var("CC"), "cc", "gcc", "clang"):
        words = shlex.split(command or "")
        if words and shutil.which(words[0]):
            return tuple(words)
    return ()


def compiles(compiler: Sequence[str]) -> bool:
    """Say whether this compiler accepts a program that needs the C library's headers."""
    if not compiler:
        return False
    program = "#include <stdio.h>\nint main(void) { return 0; }\n"
    command = [*compiler, "-fsyntax-only", "-x", "c", "-"]
    return subprocess.run(command, input=program, text=True, capture_output=True, check=False).returncode == 0


def install_command(lacks: Sequence[Lack], family: str) -> str:
    """Return the command a person types to get these things, or an empty text on an unknown system."""
    if family == "macos":
        return INSTALLERS["macos"]
    packages = _packages(lacks, family)
    if family not in INSTALLERS or not packages:
        return ""
    sudo = "" if _is_root() else "sudo "
    return f"{sudo}{INSTALLERS[family]} {' '.join(packages)}"


def can_install() -> bool:
    """Say whether this process may install Debian packages itself."""
    return _is_root() and shutil.which("apt-get") is not None


def install(lacks: Sequence[Lack]) -> None:
    """Install Debian's packages for these lacks without asking; the caller looks whether it worked."""
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    packages = _packages(lacks, "debian")
    for arguments in (["update"], ["install", "-y", "--no-install-recommends", *packages]):
        command = ["apt-get", "-qq", *arguments]
        subprocess.run(command, env=quiet, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, check=False)


def in_ci() -> bool:
    """Say whether a continuous-integration run asked for this, where nobody is there to install a package."""
    return os.environ.get("CI", "").lower() not in ("", "0", "false", "no")


def _python_package(debian: str, fedora: str) -> dict[str, tuple[str, ...]]:
    python = "python3" if _is_system_python() else f"python3.{sys.version_info[1]}"
    return {
        "debian": (f"{python}-{debian}",),
        "fedora": (f"{python}-{fedora}",),
        "alpine": (f"python3-{debian}",) if debian == "dev" else ("python3",),
    }


def _is_system_python() -> bool:
    system = Path("/usr/bin/python3")
    running = Path(sys.base_prefix, "bin", f"python3.{sys.version_info[1]}")
    return system.exists() and system.resolve() == running.resolve()


def _has_venv() -> bool:
    if sys.prefix != sys.base_prefix:
        return True
    return find_spec("venv") is not None and find_spec("ensurepip") is not None


def _packages(lacks: Sequence[Lack], family: str) -> list[str]:
    return [package for lack in lacks for package in lack.packages.get(family, ())]


def _is_root() -> bool:
    return os.geteuid() == 0


def _like(os_release: Path) -> set[str]:
    if not os_release.is_file():
        return set()
    lines = os_release.read_text(encoding="utf-8").splitlines()
    pairs = (line.partition("=") for line in lines)
    values = [value.strip("\"'") for key, _, value in pairs if key in ("ID", "ID_LIKE")]
    return {word for value in values for word in value.split()}
