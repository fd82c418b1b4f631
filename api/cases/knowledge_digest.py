"""Tell one state of the knowledge base from another, also between versions while authors work on it."""

from __future__ import annotations

import hashlib
from functools import cache

from knowledge.load import FOLDER

LETTERS = 16


@cache
def knowledge_digest() -> str:
    """Return a digest of all entries as they were when first asked, which a service does when it starts."""
    digest = hashlib.sha256()
    for path in sorted(FOLDER.rglob("*.yaml")):
        digest.update(path.relative_to(FOLDER).as_posix().encode())
        digest.update(path.read_bytes())
    return digest.hexdigest()[:LETTERS]
