"""Serve the page's service worker with the list of files it keeps, so that a change of any file makes it a new one."""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache
from hashlib import sha256
from pathlib import Path

from fastapi import APIRouter, Response

PAGE = Path(__file__).parent / "page"
WORKER = PAGE / "offline" / "worker.js"
ASIDE = ("quiz", "desk")
"""Folders of the page whose files are loaded only when they are wanted."""

router = APIRouter()


@router.get("/worker.js", include_in_schema=False)
def read_worker() -> Response:
    """Return the service worker; its first line names the files of the page and a version made from all of them."""
    return Response(worker_text(), media_type="text/javascript")


@cache
def worker_text() -> str:
    """Return the worker's text for the files as they are when it is first asked for."""
    files = {str(file.relative_to(PAGE)): sha256(file.read_bytes()).hexdigest() for file in kept_files()}
    text = WORKER.read_text(encoding="utf-8")
    version = sha256(json.dumps([files, text]).encode()).hexdigest()[:16]
    shell = {"version": version, "files": sorted(files)}
    return f"const SHELL = {json.dumps(shell)};\n{text}"


def kept_files() -> Iterator[Path]:
    """Yield the files a phone keeps to open the page without a signal."""
    for file in sorted(PAGE.rglob("*")):
        if file.is_file() and file != WORKER and file.relative_to(PAGE).parts[0] not in ASIDE:
            yield file
