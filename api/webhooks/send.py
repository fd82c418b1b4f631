"""Send one signed message to the address that was looked at, and follow no redirects."""

from __future__ import annotations

import socket
import ssl
import threading
from collections.abc import Mapping
from contextlib import suppress
from http.client import HTTPConnection, HTTPException

from api.webhooks.address import Target

WITHIN_S = 15.0
"""For connecting, and for all the rest."""

AGENT = "Ventsleuth-Webhooks/1"


def send(target: Target, headers: Mapping[str, str], body: bytes) -> int | None:
    """Return the status that came back, or None when nothing did."""
    connection = HTTPConnection(target.host, target.port, timeout=WITHIN_S)
    in_time = threading.Timer(WITHIN_S, _cut, [connection])
    try:
        connection.sock = _connect(target)
        in_time.start()
        sent = {**headers, "content-type": "application/json", "user-agent": AGENT}
        connection.request("POST", target.path, body, sent)
        return connection.getresponse().status
    except (OSError, HTTPException):
        return None
    finally:
        in_time.cancel()
        connection.close()


def _cut(connection: HTTPConnection) -> None:
    """End a line over which an answer comes too slowly, byte by byte."""
    with suppress(OSError, AttributeError):
        connection.sock.shutdown(socket.SHUT_RDWR)


def _connect(target: Target) -> socket.socket:
    plain = socket.create_connection((target.ip, target.port), WITHIN_S)
    if not target.is_tls:
        return plain
    try:
        return ssl.create_default_context().wrap_socket(plain, server_hostname=target.host)
    except BaseException:
        plain.close()
        raise
