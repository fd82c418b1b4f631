"""Passwords, kept with a memory-hard hash (argon2id, RFC 9106)."""

from __future__ import annotations

from functools import cache
from threading import BoundedSemaphore

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from api.access.errors import WeakPassword

SHORTEST, LONGEST = 12, 256
AT_ONCE = 2
"""Each hash takes 64 MiB; more at once would let sign-ins use up the memory."""


class Passwords:
    """Makes and checks hashes, a few at a time."""

    def __init__(self) -> None:
        self._hasher = PasswordHasher()
        self._turns = BoundedSemaphore(AT_ONCE)

    def hash(self, password: str) -> str:
        """Return what is kept of a password; raise WeakPassword."""
        if not SHORTEST <= len(password) <= LONGEST:
            raise WeakPassword(f"A password has {SHORTEST} to {LONGEST} characters; a few words in a row will do.")
        with self._turns:
            return self._hasher.hash(password)

    def matches(self, kept: str | None, password: str) -> bool:
        """Say whether it is the password; it takes as long where nobody has one."""
        with self._turns:
            try:
                return self._hasher.verify(kept or _nobodys(), password) and kept is not None
            except (VerificationError, InvalidHashError):
                return False


@cache
def _nobodys() -> str:
    return PasswordHasher().hash("the password of nobody")
