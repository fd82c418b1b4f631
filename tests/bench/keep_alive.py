"""A client that costs next to nothing: HTTP over connections that stay open, each request in one write.

The times that a benchmark takes with it are the service's: the sockets send at once (TCP_NODELAY), and nothing is
parsed but the status and the length.
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Mapping
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass, field

MOST_BODY_BYTES = 4_000_000
LENGTH = b"content-length:"


@dataclass(frozen=True, slots=True)
class Answered:
    """The status and the body of an answer."""

    status: int
    body: bytes


@dataclass(frozen=True)
class Lines:
    """Connections to one service, opened as they are needed and used again."""

    host: str
    port: int
    _free: list[tuple[asyncio.StreamReader, asyncio.StreamWriter]] = field(default_factory=list)

    async def post(self, path: str, body: bytes, headers: Mapping[str, str] | None = None) -> Answered:
        """Send a JSON body and return the answer; raise OSError or EOFError when the line breaks."""
        request = self._request("POST", path, body, headers or {})
        while self._free:
            line = self._free.pop()
            with suppress(OSError, EOFError):  # the service closes a line that was not used for some seconds
                return await self._exchange(line, request)
        return await self._exchange(await self._open(), request)

    async def _exchange(self, line: tuple[asyncio.StreamReader, asyncio.StreamWriter], request: bytes) -> Answered:
        reader, writer = line
        try:
            writer.write(request)
            answered = await _read(reader)
        except BaseException:
            writer.close()
            raise
        self._free.append(line)
        return answered

    @asynccontextmanager
    async def stream(self, path: str) -> AsyncIterator[asyncio.StreamReader]:
        """Yield what comes after the head of an answer that does not end."""
        reader, writer = await self._open()
        try:
            writer.write(self._request("GET", path, b"", {}))
            await reader.readuntil(b"\r\n\r\n")
            yield reader
        finally:
            writer.close()
            with suppress(OSError):
                await writer.wait_closed()

    def close(self) -> None:
        """Close the connections that are free."""
        while self._free:
            self._free.pop()[1].close()

    async def _open(self) -> tuple[asyncio.StreamReader, asyncio.StreamWriter]:
        # asyncio sends at once on every TCP connection that it opens.
        return await asyncio.open_connection(self.host, self.port, limit=MOST_BODY_BYTES)

    def _request(self, method: str, path: str, body: bytes, headers: Mapping[str, str]) -> bytes:
        given = {"host": f"{self.host}:{self.port}", "content-type": "application/json", **headers}
        told = "".join(f"{name}: {value}\r\n" for name, value in given.items())
        return f"{method} {path} HTTP/1.1\r\n{told}content-length: {len(body)}\r\n\r\n".encode() + body


async def _read(reader: asyncio.StreamReader) -> Answered:
    head = (await reader.readuntil(b"\r\n\r\n")).lower()
    at = head.find(LENGTH) + len(LENGTH)
    length = int(head[at : head.index(b"\r", at)])
    return Answered(int(head[9:12]), await reader.readexactly(length))
