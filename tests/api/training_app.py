"""A running service for a browser to learn at."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager

import uvicorn
from fastapi.testclient import TestClient

START_SECONDS = 30.0


@contextmanager
def training_service(client: TestClient) -> Iterator[str]:
    """Yield the address of the service on a free port of this machine, for a browser to visit."""
    server = uvicorn.Server(uvicorn.Config(client.app, log_level="warning", lifespan="off"))
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
        thread.start()
        try:
            _wait_for(server)
            yield f"http://127.0.0.1:{listening.getsockname()[1]}"
        finally:
            server.should_exit = True
            thread.join()


def _wait_for(server: uvicorn.Server) -> None:
    deadline = time.monotonic() + START_SECONDS
    while not server.started:
        if time.monotonic() > deadline:
            raise RuntimeError("the service did not start")
        time.sleep(0.05)
