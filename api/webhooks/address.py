"""Decide where a webhook may go: to public addresses over TLS, and never into the service's own network."""

from __future__ import annotations

import socket
from collections.abc import Callable
from dataclasses import dataclass
from ipaddress import ip_address
from urllib.parse import urlsplit

from diag.errors import DiagError

Resolve = Callable[[str, int], list[str]]


class BadAddress(DiagError):
    """An address that webhooks are not sent to."""


@dataclass(frozen=True, slots=True)
class Target:
    """Where to connect: the address that was looked at is the one that is used."""

    is_tls: bool
    host: str
    port: int
    path: str
    ip: str


def resolve(host: str, port: int) -> list[str]:
    """Return the addresses a name stands for; raise BadAddress."""
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    except (OSError, UnicodeError):  # the latter for names that no name server could know
        raise BadAddress(f"The name {host[:80]} stands for no address.") from None
    return [str(it[4][0]) for it in found]


def target_of(url: str, allowed: frozenset[str], look_up: Resolve = resolve) -> Target:
    """Return where an address leads; hosts in `allowed` may be private and without TLS. Raises BadAddress."""
    try:
        parts = urlsplit(url)
        port = parts.port or (443 if parts.scheme == "https" else 80)
    except ValueError:
        raise BadAddress("The address cannot be read.") from None
    host = parts.hostname or ""
    if not host or parts.username or parts.scheme not in ("https", "http"):
        raise BadAddress(
            "A webhook goes to an address such as https://receiver.example/path, without a password in it."
        )
    is_known = host in allowed
    if parts.scheme != "https" and not is_known:
        raise BadAddress("A webhook goes over https only.")
    addresses = look_up(host, port)
    if not is_known and not all(_is_public(it) for it in addresses):
        raise BadAddress(
            f"{host} lies in a private network. Whoever runs the service can allow it with --webhook-host."
        )
    path = f"{parts.path or '/'}{'?' + parts.query if parts.query else ''}"
    return Target(parts.scheme == "https", host, port, path, addresses[0])


def _is_public(address: str) -> bool:
    found = ip_address(address.partition("%")[0])
    mapped = getattr(found, "ipv4_mapped", None)
    return (mapped or found).is_global and not (mapped or found).is_multicast
