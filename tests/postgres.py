"""A PostgreSQL server of its own for the tests, in a folder that goes away with them."""

from __future__ import annotations

import getpass
import os
import pwd
import shutil
import signal
import subprocess
import tempfile
from collections.abc import Sequence
from pathlib import Path

from api import system_packages

PACKAGES = {"debian": ("postgresql",), "fedora": ("postgresql-server",), "alpine": ("postgresql",)}
POSTGRESQL = system_packages.Lack("PostgreSQL", PACKAGES)
# It holds nothing that anyone needs after a power cut; the tests kill the service, not the machine.
SETTINGS = ("-c", "listen_addresses=", "-c", "fsync=off", "-c", "max_connections=200")
START_SECONDS = 30


def find_programs() -> Path | None:
    """Return the folder with the server's programs: the newest of Debian's, or the one on the path."""
    installed = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda it: int(it.parts[-3]))
    on_path = shutil.which("initdb")
    if installed:
        return installed[-1].parent
    return Path(on_path).resolve().parent if on_path else None


def missing_message() -> str:
    """Return what a person does to get the server, in one line."""
    command = system_packages.install_command([POSTGRESQL], system_packages.system_family())
    return f"PostgreSQL was not found. Next: {command or 'install PostgreSQL 15 or later'}."


class Server:
    """A running server; databases are made on it by name."""

    def __init__(self, programs: Path) -> None:
        self._programs = programs
        self._user = _unprivileged()
        self.folder = Path(tempfile.mkdtemp(prefix="ventsleuth-pg-"))
        if self._user:
            shutil.chown(self.folder, self._user)
        self._run("initdb", "-D", str(self._data), "-U", "tests", "-A", "trust", "-E", "UTF8", "--no-sync")
        self.start()

    @property
    def _data(self) -> Path:
        return self.folder / "data"

    def start(self) -> None:
        """Start it again, after `stop`."""
        options = " ".join((*SETTINGS, "-k", str(self.folder)))
        log = str(self.folder / "log")
        self._run("pg_ctl", "-D", str(self._data), "-w", "-t", str(START_SECONDS), "-l", log, "-o", options, "start")

    def stop(self) -> None:
        """Stop it at once, as a crash does; what was committed stays."""
        self._run("pg_ctl", "-D", str(self._data), "-w", "-m", "immediate", "stop")

    def freeze(self) -> None:
        """Let it hang: it takes connections and answers nothing, until `thaw`."""
        self._signal(signal.SIGSTOP)

    def thaw(self) -> None:
        """Let it go on, after `freeze`."""
        self._signal(signal.SIGCONT)

    def make_database(self, name: str) -> str:
        """Return the address of a new, empty database."""
        self._run("createdb", "-h", str(self.folder), "-U", "tests", name)
        return f"postgresql://tests@/{name}?host={self.folder}"

    def close(self) -> None:
        """Stop it and remove all it kept."""
        self.stop()
        shutil.rmtree(self.folder)

    def _signal(self, what: signal.Signals) -> None:
        first = int((self._data / "postmaster.pid").read_text(encoding="ascii").splitlines()[0])
        started = Path(f"/proc/{first}/task/{first}/children").read_text(encoding="ascii").split()
        for pid in (first, *map(int, started)):
            os.kill(pid, what)

    def _run(self, program: str, *words: str) -> None:
        command: Sequence[str] = (str(self._programs / program), *words)
        done = subprocess.run(
            command, user=self._user, cwd=self.folder, capture_output=True, text=True, check=False, env=_environment()
        )
        if done.returncode:
            raise RuntimeError(f"{program} ended with {done.returncode}: {done.stderr}{done.stdout}")


def _environment() -> dict[str, str]:
    return {name: value for name, value in os.environ.items() if not name.startswith("PG")}


def _unprivileged() -> str | None:
    """Return whom to run the server as when we are root, which it refuses."""
    if getpass.getuser() != "root" and os.geteuid() != 0:
        return None
    known = {it.pw_name for it in pwd.getpwall()}
    return "postgres" if "postgres" in known else "nobody"
