"""Open the knowledge base that a command is about: the installed one, a folder, or a revision of this checkout."""

from __future__ import annotations

import io
import subprocess
import tarfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import click

from knowledge.load import FOLDER, BadKnowledge, Knowledge, load_knowledge

FAILED = 1


def folder_option(function: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command the option that names another folder than the installed one."""
    existing = click.Path(exists=True, file_okay=False, path_type=Path)
    says = "Folder of the knowledge; left out: the installed one."
    return click.option("--folder", default=FOLDER, show_default=False, type=existing, help=says)(function)


def open_knowledge(folder: Path) -> Knowledge:
    """Return the knowledge of a folder; where it has faults, print them and end with exit code 1."""
    try:
        return load_knowledge(folder)
    except BadKnowledge as error:
        print_faults([str(fault) for fault in error.faults])
        raise click.exceptions.Exit(FAILED) from None


def print_faults(faults: list[str]) -> None:
    """Print faults, one a line, and how many there are."""
    for fault in faults:
        click.echo(fault, err=True)
    click.echo(f"{len(faults)} fault{'' if len(faults) == 1 else 's'}.", err=True)


@contextmanager
def exported(state: str) -> Iterator[Path]:
    """Give the folder of a state of the knowledge base: a folder as it is, or a git revision in a passing folder."""
    path = Path(state)
    if path.is_dir():
        yield path
        return
    with TemporaryDirectory() as kept:
        _export(state, Path(kept))
        yield Path(kept) / FOLDER.name


def _export(revision: str, into: Path) -> None:
    command = ["git", "-C", str(FOLDER.parent), "archive", "--format=tar", revision, FOLDER.name]
    try:
        made = subprocess.run(command, check=True, capture_output=True)
    except FileNotFoundError:
        raise click.ClickException(f"“{state_words(revision)}” is no folder, and git is not installed.") from None
    except subprocess.CalledProcessError:
        message = f"“{state_words(revision)}” is neither a folder nor a revision that holds {FOLDER.name}/."
        raise click.ClickException(message) from None
    with tarfile.open(fileobj=io.BytesIO(made.stdout)) as archive:
        archive.extractall(into, filter="data")


def state_words(state: str) -> str:
    """Return a state as it was asked for, cut when long."""
    return state if len(state) <= 60 else f"{state[:60]}..."
