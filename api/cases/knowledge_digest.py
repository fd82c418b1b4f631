"""Tell one state of the knowledge base, and of the reasoning over it, from another, also between versions."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from functools import cache
from pathlib import Path

import diag
from knowledge.load import FOLDER

LETTERS = 16


@cache
def knowledge_digest() -> str:
    """Return a digest of all entries as they were when first asked, which a service does when it starts."""
    return _digest(FOLDER, FOLDER.rglob("*.yaml"))


@cache
def program_digest() -> str:
    """Return a digest of the reasoning itself, whose numbers and steps may change from one release to the next."""
    folder = Path(diag.__file__).parent
    return _digest(folder, [*folder.glob("*.py"), *folder.glob("calculators/*.py")])


def _digest(folder: Path, paths: Iterable[Path]) -> str:
    digest = hashlib.sha256()
    for path in sorted(paths):
        digest.update(path.relative_to(folder).as_posix().encode())
        digest.update(path.read_bytes())
    return digest.hexdigest()[:LETTERS]
