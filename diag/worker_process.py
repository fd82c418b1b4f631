"""The far end of a worker: builds an engine in a process of its own and answers requests until the line closes."""

from __future__ import annotations

import marshal
import pickle
import resource
import signal
import socket
import struct
import time
import zlib
from collections.abc import Iterable
from typing import Any

from diag.engine_errors import EngineFailed, EngineUnavailable
from diag.rules import Fact, Firing

MEMORY_BYTES = 1 << 30
"""Address space of a worker; rules that multiply facts without end stop here instead of taking the machine."""
_LENGTH = struct.Struct("!Q")

READY, FIRINGS, FAILED, UNAVAILABLE = "ready", "firings", "failed", "unavailable"


def serve(descriptor: int) -> None:
    """Answer requests on the socket with this descriptor; return when the other end is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
    with socket.socket(fileno=descriptor) as line:
        try:
            _answer_all(line)
        except ConnectionError:
            return


def _answer_all(line: socket.socket) -> None:
    build, chapters = pickle.loads(zlib.decompress(receive(line)))
    try:
        engine = build(chapters)
    except (EngineFailed, EngineUnavailable) as error:
        send(line, marshal.dumps((UNAVAILABLE, str(error))))
        return
    send(line, marshal.dumps((READY, "")))
    while True:
        chapter, facts = marshal.loads(receive(line))
        try:
            answer: tuple[str, Any] = (FIRINGS, packed_firings(engine.run(chapter, [Fact(*parts) for parts in facts])))
        except EngineFailed as error:
            answer = (FAILED, str(error))
        send(line, marshal.dumps(answer))


def packed_facts(facts: Iterable[Fact]) -> list[tuple[Any, ...]]:
    """Return facts as plain tuples, which cross to another process many times faster."""
    return [(fact.kind, fact.fields) for fact in facts]


def packed_firings(firings: Iterable[Firing]) -> tuple[list[Any], list[Any]]:
    """Return the facts of all firings once each, and the firings with places in that list."""
    places: dict[Fact, int] = {}
    packed = []
    for firing in firings:
        premises = tuple([places.setdefault(fact, len(places)) for fact in firing.premises])
        packed.append((firing.rule, premises, places.setdefault(firing.derived, len(places))))
    return packed_facts(places), packed


def unpacked_firings(packed: tuple[list[Any], list[Any]]) -> tuple[Firing, ...]:
    """Return the firings that were packed, equal to the originals and in their order."""
    facts = [Fact(kind, fields) for kind, fields in packed[0]]
    return tuple(
        Firing(code, tuple([facts[place] for place in premises]), facts[derived])
        for code, premises, derived in packed[1]
    )


def send(line: socket.socket, text: bytes) -> None:
    """Send one message whole."""
    line.sendall(_LENGTH.pack(len(text)) + text)


def receive(line: socket.socket, deadline: float | None = None) -> bytes:
    """Return one whole message; raise ConnectionError when the other end is gone, TimeoutError when it is late."""
    (length,) = _LENGTH.unpack(_receive_bytes(line, _LENGTH.size, deadline))
    return _receive_bytes(line, length, deadline)


def _receive_bytes(line: socket.socket, length: int, deadline: float | None) -> bytes:
    received = bytearray()
    while len(received) < length:
        if deadline is not None:
            line.settimeout(max(deadline - time.monotonic(), 0.001))
        piece = line.recv(length - len(received))
        if not piece:
            raise ConnectionError("the other process is gone")
        received += piece
    return bytes(received)
