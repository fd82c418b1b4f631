"""The whole service on a free port of this machine, for a browser to visit."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import uvicorn
from fastapi import FastAPI

from api.app import Settings, create_app

START_SECONDS = 60.0


@contextmanager
def running_service(folder: Path) -> Iterator[str]:
    """Yield the address of a service with the small and the medium demo site; it stops afterwards."""
    with serving(create_app(Settings(folder / "page.db", workers=1, demos=("small", "medium")))) as address:
        yield address


@contextmanager
def serving(app: FastAPI) -> Iterator[str]:
    """Yield the address at which the service answers; it stops afterwards."""
    server = uvicorn.Server(uvicorn.Config(app, log_level="warning"))
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        port = listening.getsockname()[1]
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
        thread.start()
        try:
            _wait_for(server, thread)
            yield f"http://127.0.0.1:{port}"
        finally:
            server.should_exit = True
            thread.join()


def _wait_for(server: uvicorn.Server, thread: threading.Thread) -> None:
    deadline = time.monotonic() + START_SECONDS
    while not server.started:
        if not thread.is_alive() or time.monotonic() > deadline:
            raise RuntimeError("the service did not start")
        time.sleep(0.05)
