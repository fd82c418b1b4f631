"""What files a case takes: pictures and short documents, known by their first bytes and not by what is said of them."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping

from api.cases.errors import BadAttachment
from api.cases.ids import new_id
from api.cases.words import one_line
from api.storage.clock import now_text

MOST_FILES = 40
MOST_NAME = 120
SNIFFED = 16


def _is_text(content: bytes) -> bool:
    try:
        return "\x00" not in content.decode("utf-8")
    except UnicodeDecodeError:
        return False


KINDS: Mapping[str, Callable[[bytes], bool]] = {
    "image/jpeg": lambda content: content.startswith(b"\xff\xd8\xff"),
    "image/png": lambda content: content.startswith(b"\x89PNG\r\n\x1a\n"),
    "image/webp": lambda content: content.startswith(b"RIFF") and content[8:12] == b"WEBP",
    "application/pdf": lambda content: content.startswith(b"%PDF-"),
    "text/plain": _is_text,
    "text/csv": _is_text,
}
"""Each kind that is kept, and how its content is told."""


def file_row(content: bytes, media_type: str, name: str) -> dict[str, object]:
    """Return a file as it is kept; raise BadAttachment when it is empty, of another kind, or not what it says."""
    kind = media_type.partition(";")[0].strip().lower()
    if kind not in KINDS:
        raise BadAttachment(f"Files of the kind “{one_line(kind, 60)}” are not kept; send one of: {', '.join(KINDS)}.")
    if not content or not KINDS[kind](content):
        raise BadAttachment(f"The content is not {kind}. Send the file as it is, with its own Content-Type.")
    return {
        "id": new_id(),
        "name": one_line(name, MOST_NAME) or "file",
        "media_type": kind,
        "size_bytes": len(content),
        "sha256": hashlib.sha256(content).hexdigest(),
        "added_at": now_text(),
        "content": content,
    }
