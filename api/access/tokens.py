"""Secrets that are shown once: keys, sessions and sign-in links. Only a digest of each is kept."""

from __future__ import annotations

import hashlib
import hmac
import re
import secrets
import zlib
from dataclasses import dataclass

SECRET_BYTES = 32
KEY = re.compile(r"vsk_([0-9a-f]{16})_([0-9a-f]{64})_([0-9a-f]{8})")


@dataclass(frozen=True, slots=True)
class NewKey:
    """A key that was just made: its id and digest are kept, `shown` is told once and never again."""

    id: str
    shown: str
    digest: str


def make_key() -> NewKey:
    """Return a key of 256 random bits with its id in it, and a check sum by which slips and scanners know it."""
    key_id, secret = secrets.token_hex(8), secrets.token_hex(SECRET_BYTES)
    return NewKey(key_id, f"vsk_{key_id}_{secret}_{_check_sum(key_id, secret)}", digest_of(secret))


def read_key(shown: str) -> tuple[str, str] | None:
    """Return the id of a key and the digest of its secret, or None when it was mistyped or is none."""
    found = KEY.fullmatch(shown)
    if not found or not hmac.compare_digest(found[3], _check_sum(found[1], found[2])):
        return None
    return found[1], digest_of(found[2])


def make_token() -> tuple[str, str]:
    """Return a token of 256 random bits, and its digest."""
    token = secrets.token_urlsafe(SECRET_BYTES)
    return token, digest_of(token)


def digest_of(secret: str) -> str:
    """Return what is kept of a secret; it has too many bits for a slow hash to be of use."""
    return hashlib.sha256(secret.encode()).hexdigest()


def is_digest(kept: str, found: str) -> bool:
    """Compare digests in a time that tells nothing."""
    return hmac.compare_digest(kept, found)


def _check_sum(key_id: str, secret: str) -> str:
    return f"{zlib.crc32(f'{key_id}{secret}'.encode()):08x}"
