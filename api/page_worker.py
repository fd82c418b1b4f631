"""Serve the page's service worker with the list of files it keeps, so that a change of any file makes it a new one."""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache
from hashlib import sha256
from pathlib import Path

from fastapi import APIRouter, Response

from api.page_joined import PAGE, joined
from api.page_joined import router as joined_router

WORKER = PAGE / "offline" / "worker.js"
JOINED = ("first.js", "rest.js", "page.css")
PLAIN = ("index.html", "manifest.webmanifest", "icon*", "languages/*.js")
"""What the phone page loads besides, as it is; the helpdesk's page and the quiz are loaded only when wanted."""

router = APIRouter()
router.include_router(joined_router)


@router.get("/worker.js", include_in_schema=False)
def read_worker() -> Response:
    """Return the service worker; its first line names the files of the page and a version made from all of them."""
    return Response(worker_text(), media_type="text/javascript")


@cache
def worker_text() -> str:
    """Return the worker's text for the files as they are when it is first asked for."""
    files = {file.relative_to(PAGE).as_posix(): sha256(file.read_bytes()).hexdigest() for file in plain_files()}
    files |= {name: joined(name).tag for name in JOINED}
    text = WORKER.read_text(encoding="utf-8")
    version = sha256(json.dumps([files, text]).encode()).hexdigest()[:16]
    shell = {"version": version, "files": sorted(files)}
    return f"const SHELL = {json.dumps(shell)};\n{text}"


def plain_files() -> Iterator[Path]:
    """Yield the files a phone keeps as they are written, to open the page without a signal."""
    for pattern in PLAIN:
        yield from sorted(PAGE.glob(pattern))
