"""Callers who are slow to send or slow to read: nobody else waits for them, and nothing piles up."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from typing import Any

import httpx2
import pytest
import uvicorn

from api import body_limit
from api.app import Settings, create_app
from tests.api.case_calls import add, opened
from tests.api.serving import read_messages, seqs, serving, wait_until

HEADERS = "content-type: application/json\r\nhost: localhost\r\n"
SENDERS, READERS = 60, 4
BATCHES, NOTES, LETTERS = 10, 50, 4_000
SENT_BYTES = BATCHES * NOTES * LETTERS


@pytest.fixture
def impatient(tmp_path: Any, monkeypatch: pytest.MonkeyPatch) -> Iterator[tuple[str, int]]:
    """Return host and port of a service that waits half a second for the next piece of a body, and two for all."""
    monkeypatch.setattr(body_limit, "MOST_SILENCE_S", 0.5)
    monkeypatch.setattr(body_limit, "MOST_BODY_S", 2.0)
    with serving(Settings(tmp_path / "a.db", demos=("small",))) as address:
        host, _, port = address.removeprefix("http://").partition(":")
        yield host, int(port)


def sent(line: socket.socket, *pieces: bytes, pause_s: float) -> bytes:
    """Send a body piece by piece and return what came back until the service closed the line."""
    line.settimeout(10)
    line.sendall(f"POST /v1/diagnoses HTTP/1.1\r\n{HEADERS}content-length: 5000\r\n\r\n".encode())
    answer = b""
    try:
        for piece in pieces:
            line.sendall(piece)
            time.sleep(pause_s)
        while piece := line.recv(4096):
            answer += piece
    except (ConnectionResetError, BrokenPipeError):
        return answer
    return answer


def test_a_body_that_stops_coming_is_given_up(impatient: tuple[str, int]) -> None:
    with socket.create_connection(impatient) as line:
        answer = sent(line, b'{"text"', pause_s=0)

    assert answer.startswith(b"HTTP/1.1 408")
    assert b"application/problem+json" in answer
    assert b"send it again" in answer


def test_a_body_that_comes_byte_by_byte_is_given_up_in_the_end(impatient: tuple[str, int]) -> None:
    with socket.create_connection(impatient) as line:
        answer = sent(line, *[b" "] * 12, pause_s=0.2)

    assert answer == b"" or answer.startswith(b"HTTP/1.1 408")  # the line may be cut before the answer is read


def test_slow_senders_and_readers_hold_up_nobody_and_get_everything_later(tmp_path: Any) -> None:
    with served(Settings(tmp_path / "a.db", demos=("small",))) as (server, port), ExitStack() as lines:
        with httpx2.Client(base_url=f"http://127.0.0.1:{port}", timeout=20) as client:
            case_id = opened(client)["case"]["id"]
            senders = [lines.enter_context(started(port)) for _ in range(SENDERS)]
            readers = [lines.enter_context(stalled(port, case_id)) for _ in range(READERS)]
            wait_until(lambda: len(server.server_state.connections) == SENDERS + READERS + 1)
            fill(client, case_id)
        for it in senders:
            it.close()
        wait_until(lambda: len(server.server_state.connections) == READERS)
        held_bytes = [it.transport.get_write_buffer_size() for it in server.server_state.connections]
        messages = read_messages(_lines(readers[0]), 1 + BATCHES * NOTES)

    assert all(0 < it < SENT_BYTES / 10 for it in held_bytes), held_bytes
    assert seqs(messages) == list(range(1, 2 + BATCHES * NOTES))


@contextmanager
def served(settings: Settings) -> Iterator[tuple[Any, int]]:
    """Yield a running server whose lines can be looked at, and its port."""
    app = create_app(settings)
    server = uvicorn.Server(uvicorn.Config(app, log_level="warning", timeout_graceful_shutdown=3, loop="asyncio"))
    with socket.socket() as listening:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_SNDBUF, 65_536)  # so that the kernel holds little of it
        listening.bind(("127.0.0.1", 0))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
        thread.start()
        try:
            wait_until(lambda: server.started or not thread.is_alive())
            yield server, listening.getsockname()[1]
        finally:
            app.state.live.close()
            server.should_exit = True
            thread.join()


def fill(client: Any, case_id: str) -> None:
    """Add many long notes to a case."""
    for number in range(BATCHES):
        events = [{"kind": "note", "text": f"{number} ".ljust(LETTERS, "x")}] * NOTES
        assert add(client, case_id, *events).status_code == 201


def started(port: int) -> socket.socket:
    """Return a line on which a body was promised and does not come."""
    line = socket.create_connection(("127.0.0.1", port))
    line.sendall(f"POST /v1/diagnoses HTTP/1.1\r\n{HEADERS}content-length: 5000\r\n\r\n".encode())
    return line


def stalled(port: int, case_id: str) -> socket.socket:
    """Return a line on which a stream was asked for and nothing is read; it takes little by itself."""
    line = socket.socket()
    line.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)
    line.connect(("127.0.0.1", port))
    line.sendall(f"GET /v1/cases/{case_id}/stream HTTP/1.0\r\nhost: localhost\r\n\r\n".encode())
    return line


def _lines(line: socket.socket) -> Iterator[str]:
    line.settimeout(20)
    with line.makefile(encoding="utf-8") as text:
        for it in text:
            yield it.rstrip("\r\n")
