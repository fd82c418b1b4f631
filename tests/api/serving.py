"""The service as a process or thread of its own on a free port, as its callers meet it over a network."""

from __future__ import annotations

import json
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.request import urlopen

import uvicorn

from api.app import Settings, create_app

ROOT = Path(__file__).parent.parent.parent
START_SECONDS = 180.0


@contextmanager
def serving(settings: Settings) -> Iterator[str]:
    """Yield the address of a service in a thread of this process; it stops afterwards."""
    app = create_app(settings)
    server = uvicorn.Server(uvicorn.Config(app, log_level="warning", timeout_graceful_shutdown=3))
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP) as listening:
        listening.bind(("127.0.0.1", 0))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
        thread.start()
        try:
            wait_until(lambda: server.started or not thread.is_alive())
            yield f"http://127.0.0.1:{listening.getsockname()[1]}"
        finally:
            app.state.live.close()
            server.should_exit = True
            thread.join()


class Node:
    """A service in a process of its own, started by its command, that can be killed."""

    def __init__(self, data: str, *options: str, port: int | None = None) -> None:
        self.port = port or free_port()
        self.address = f"http://127.0.0.1:{self.port}"
        words = ["serve", "--port", str(self.port), "--data", data, *options]
        command = [sys.executable, "-c", "from api.cli.main import main; main()", *words]
        self.process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)

    def wait(self) -> Node:
        """Return when it answers; raise when it ended or takes too long."""
        wait_until(lambda: self.process.poll() is not None or answers(self.address))
        if self.process.poll() is not None:
            told = self.process.stderr.read() if self.process.stderr else b""
            raise RuntimeError(f"the service ended: {told.decode()}")
        return self

    def kill(self) -> None:
        """Kill it at once, as a crash does."""
        self.process.kill()
        self._end()

    def stop(self) -> int:
        """Ask it to stop and return its exit code."""
        self.process.terminate()
        self._end()
        return self.process.returncode

    def _end(self) -> None:
        self.process.wait()
        if self.process.stderr:
            self.process.stderr.close()


def answers(address: str) -> bool:
    """Say whether a service answers there."""
    try:
        with urlopen(f"{address}/healthz", timeout=5) as response:
            return bool(response.status == 200)
    except OSError:
        return False


def free_port() -> int:
    """Return a port that nobody listens on now."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


def wait_until(happened: Any, most_s: float = START_SECONDS) -> None:
    """Return as soon as something happened; raise TimeoutError when it does not."""
    deadline = time.monotonic() + most_s
    while not happened():
        if time.monotonic() > deadline:
            raise TimeoutError
        time.sleep(0.1)


def read_messages(lines: Iterator[str], count: int) -> list[dict[str, Any]]:
    """Return the next messages of an event stream: event, id and data."""
    found: list[dict[str, Any]] = []
    message: dict[str, Any] = {}
    for line in lines:
        if not line and "data" in message:
            found.append(message)
            message = {}
            if len(found) == count:
                return found
        name, _, value = line.partition(": ")
        if name in ("event", "id"):
            message[name] = value
        if name == "data":
            message["data"] = json.loads(value)
    return found


def seqs(messages: Sequence[dict[str, Any]]) -> list[int]:
    """Return the numbers of the events in messages."""
    return [it["data"]["seq"] for it in messages]
