"""Send one signed message to the address that was looked at, and follow no redirects."""

from __future__ import annotations

import socket
import ssl
from collections.abc import Mapping
from http.client import HTTPConnection, HTTPException

from api.webhooks.address import Target

WITHIN_S = 15.0
AGENT = "Ventsleuth-Webhooks/1"


def send(target: Target, headers: Mapping[str, str], body: bytes) -> int | None:
    """Return the status that came back, or None when nothing did."""
    connection = HTTPConnection(target.host, target.port, timeout=WITHIN_S)
    try:
        connection.sock = _connect(target)
        sent = {**headers, "content-type": "application/json", "user-agent": AGENT}
        connection.request("POST", target.path, body, sent)
        return connection.getresponse().status
    except (OSError, HTTPException):
        return None
    finally:
        connection.close()


def _connect(target: Target) -> socket.socket:
    plain = socket.create_connection((target.ip, target.port), WITHIN_S)
    if not target.is_tls:
        return plain
    try:
        return ssl.create_default_context().wrap_socket(plain, server_hostname=target.host)
    except BaseException:
        plain.close()
        raise
